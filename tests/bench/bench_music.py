"""How fast music is engraved, read and weighed. Run: python -m tests.bench.bench_music

Prints ms of this process's own time, the least of several runs, beside a loop of plain Python as
a yardstick, so that ratios can be compared between machines.
"""

import os
import time
from collections.abc import Callable

from practice.engraving import pages
from practice.engraving.engrave import PAPER, _drawn, engrave
from practice.engraving.reading import read_score
from practice.music import fingering as rules
from practice.music.abc_tune import read_tune
from practice.music.bowing_list import bowing
from practice.music.hard_bars import hard_bars
from practice.music.keys import parse_key
from practice.music.mei import line_to_mei
from practice.music.staves import bowing_staff

BARS = 200
ABC = f"X:1\nT:Long\nM:3/4\nL:1/8\nK:G\n{'ABcdef|gfedcB|(GA)(Bc)(de)|dB^cA=cF|' * (BARS // 4)}"


def least(run: Callable[[], object], times: int = 7) -> float:
    """Milliseconds of processor time of the fastest run."""
    found = []
    for _ in range(times):
        begun = time.process_time()
        run()
        found.append(time.process_time() - begun)
    return min(found) * 1000


def yardstick() -> None:
    total = 0
    for number in range(100_000):
        total += number


def forget() -> None:
    for cache in (
        _drawn,
        pages._laid_out,
        pages._drawn,
        rules._cheapest,
        rules._ways,
        rules._choices,
    ):
        cache.cache_clear()


def xml() -> bytes:
    """The long piece as MusicXML, by the test's own hand."""
    notes = []
    for bar in range(1, BARS + 1):
        head = "<attributes><divisions>2</divisions></attributes>" if bar == 1 else ""
        music = "".join(
            f"<note><pitch><step>{step}</step><octave>5</octave></pitch><duration>1</duration>"
            "<voice>1</voice><type>eighth</type></note>"
            for step in "CDEFGABC"
        )
        notes.append(f'<measure number="{bar}">{head}{music}</measure>')
    return f"<score-partwise><part id='P1'>{''.join(notes)}</part></score-partwise>".encode()


def fingered_cold() -> None:
    forget()
    bowing_staff(bowing("2s2d"), parse_key("G major"), None, 3)


def measured() -> dict[str, float]:
    """The least milliseconds of each thing, by its name."""
    staff = bowing_staff(bowing("2s2d"), parse_key("G major"), None, 2, 4)
    score = read_tune(ABC)
    data = xml()

    def engraved() -> None:
        _drawn.cache_clear()
        engrave(staff.mei, PAPER)

    def weighed() -> None:
        forget()
        hard_bars(score, 96, known_rhythms=frozenset())

    def opened() -> None:
        """What stands between dropping a file and seeing its first page."""
        forget()
        found = read_score(data)
        pages.draw_page(found, 1)
        hard_bars(found, 96, known_rhythms=frozenset())

    def turned() -> None:
        pages._drawn.cache_clear()
        pages.draw_page(long, 2)

    long = read_score(data)
    pages.draw_page(long, 1)
    engraved()
    return {
        "engrave 4 bars, warm (aim 15 ms)": least(engraved),
        "the same from the cache": least(lambda: engrave(staff.mei, PAPER)),
        "finger and pour 3 octaves, cold": least(fingered_cold),
        "read 200 bars of ABC (aim 1000 ms)": least(lambda: read_tune(ABC)),
        "read 200 bars of MusicXML (aim 1000 ms)": least(lambda: read_score(data)),
        "hard bars of 200, cold (aim 500 ms)": least(weighed, 3),
        "200 bars read, weighed, first page (aim 1000 ms)": least(opened, 3),
        "one more of their pages": least(turned, 3),
        "MEI of 200 bars": least(lambda: line_to_mei(score.line)),
    }


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tests.settings")
    tick = least(yardstick)
    print(f"\nyardstick (100 000 additions): {tick:.2f} ms")
    for name, milliseconds in measured().items():
        print(f"{name:50s} {milliseconds:8.2f} ms  {milliseconds / tick:7.1f} yardsticks")


if __name__ == "__main__":
    main()
