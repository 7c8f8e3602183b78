"""How long a printed sheet takes, warm. Run: python -m tests.bench.bench_sheet

Prints seconds on the wall and of this process's own, and the ratio to the target. The smallest of
several runs counts, because other work on the machine can only add to it; on a busy machine look
at the process's own seconds.
"""

import os
import time
from collections.abc import Callable
from dataclasses import replace
from statistics import median

import django

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tests.settings")
django.setup()

from practice.engraving.engrave import PAPER, Layout  # noqa: E402
from practice.engraving.pictures import address  # noqa: E402
from practice.engraving.spec import Spec  # noqa: E402
from practice.music.bowing_list import find_bowing  # noqa: E402
from practice.music.keys import parse_key  # noqa: E402
from practice.sheets.data import Picture, SheetData, drawn  # noqa: E402
from practice.sheets.pictures import draw  # noqa: E402
from practice.sheets.render import sheet_pdf  # noqa: E402
from tests.practice.sheets.samples import (  # noqa: E402
    FULL,
    OVERFULL,
    PRE_READER,
    READER,
    SCALE,
)

TARGET = 0.4  # seconds for one sheet, fonts and styles already loaded
RUNS = 9


def timed(name: str, work: Callable[[], object], sheets: int = 1) -> None:
    work()  # loads fonts
    wall, own = [], []
    for _ in range(RUNS if sheets == 1 else 3):
        start, busy = time.perf_counter(), time.process_time()
        work()
        wall.append((time.perf_counter() - start) / sheets)
        own.append((time.process_time() - busy) / sheets)
    print(
        f"{name:20} a sheet: best {min(wall):.3f} s on the wall (middle {median(wall):.3f} s),"
        f" {min(own):.3f} s own, {min(own) / TARGET:.0%} of the target"
    )


def engraved(data: SheetData) -> SheetData:
    """The sample with really engraved music in place of its stand-ins."""
    key, abc = parse_key("G major"), "L:1/8\nM:3/4\nK:G\n!4!e2 (!2!c!3!d) (!0!e!1!f)|"
    specs = [
        Spec("scale", key, "major", 2),
        Spec("bowing", key, "major", 2, find_bowing("slur2"), 3),
        Spec("bowed-arpeggio", key, "tonic", 2, find_bowing("slur3")),
    ]
    staves = tuple(
        replace(stave, picture=picture(spec))
        for stave, spec in zip(SCALE.staves, specs, strict=True)
    )
    bar = picture(Spec("excerpt", abc=abc), Layout(7.4, 58.0))
    pieces = tuple(
        replace(piece, spots=tuple(replace(spot, picture=bar) for spot in piece.spots))
        for piece in data.pieces
    )
    return replace(data, scale=replace(SCALE, staves=staves), pieces=pieces)


def picture(spec: Spec, layout: Layout = PAPER) -> Picture:
    return Picture(spec.staff().alt, spec=address(spec, layout))


def main() -> None:
    usual, full = engraved(READER), engraved(FULL)
    timed("usual sheet", lambda: sheet_pdf(drawn(usual, draw)))
    timed("full sheet", lambda: sheet_pdf(drawn(full, draw)))
    timed("pre-reader's sheet", lambda: sheet_pdf(PRE_READER))
    timed("overfull sheet", lambda: sheet_pdf(OVERFULL))
    twelve = [drawn(usual, draw)] * 12
    timed("a class of twelve", lambda: [sheet_pdf(each) for each in twelve], sheets=12)


if __name__ == "__main__":
    main()
