import re
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from itertools import pairwise

import pytest

from practice.engraving.engrave import (
    CARD,
    INK_DARK,
    PAPER,
    EngravingFailed,
    Layout,
    engrave,
    thread_toolkit,
)
from practice.engraving.engrave import _drawn as drawn_cache
from practice.music.bowing_list import BOWINGS, bowing
from practice.music.bowings import Pattern
from practice.music.exercise import pour
from practice.music.fit import variations
from practice.music.how import How
from practice.music.keys import ALL_KEYS, Key, parse_key
from practice.music.line import Line
from practice.music.mei import line_to_mei
from practice.music.scales import Arpeggio, arpeggio, forms_for, scale
from practice.music.staves import bowing_card, bowing_staff, scale_staff
from practice.music.violin import STRINGS

G = parse_key("G major")


def sounding(line: Line) -> list[int]:
    """MIDI values as Verovio plays the MEI, read back by note id."""
    toolkit = thread_toolkit()
    assert toolkit.loadData(line_to_mei(line))
    toolkit.renderToMIDI()  # the values exist only after this
    count = sum(note.pitch is not None for note in line.notes)
    return [toolkit.getMIDIValuesForElement(f"n{i}")["pitch"] for i in range(1, count + 1)]


@pytest.mark.parametrize("key", ALL_KEYS, ids=str)
def test_every_key_sounds_as_it_is_spelled(key: Key) -> None:
    lines = [pour(bowing("detache"), scale(key, form, 3)).line for form in forms_for(key)]
    lines += [pour(bowing("triplets"), arpeggio(key, kind)).line for kind in Arpeggio]
    for line in lines:
        assert sounding(line) == [pitch.midi for pitch in line.pitches]


@pytest.mark.parametrize("pattern", BOWINGS, ids=lambda p: p.slug)
def test_rhythms_and_double_speed_last_as_long_as_verovio_plays_them(pattern: Pattern) -> None:
    """Durations of Verovio's own MIDI, in whole milliseconds: a quarter note is 500 of them."""
    for made in variations(pattern).values():
        line = pour(made, scale(G, octaves=1)).line
        sounding(line)
        toolkit = thread_toolkit()
        notes = [note for note in line.notes if note.pitch]
        times = [toolkit.getMIDIValuesForElement(f"n{i}") for i in range(1, len(notes) + 1)]
        for note, time in zip(notes, times, strict=True):
            if not note.tie:
                assert time["duration"] == pytest.approx(500 * float(note.quarters), abs=1)


@pytest.mark.parametrize("string", STRINGS)
def test_scales_on_one_string_and_over_the_top_sound_as_they_are_spelled(string: str) -> None:
    for key in ALL_KEYS:
        for how in (How(string=string), How(over=2), How(string=string, over=1)):
            staff = scale_staff(key, None, 1, how=how, whole=True)
            assert sounding(staff.line) == [pitch.midi for pitch in staff.line.pitches]


def test_the_same_music_gives_the_same_bytes_in_another_process() -> None:
    staff = bowing_staff(bowing("2s1d-triplet"), parse_key("E flat minor"), "harmonic", 2)
    drawn_cache.cache_clear()
    first = engrave(staff.mei, PAPER).svg
    drawn_cache.cache_clear()
    assert engrave(staff.mei, PAPER).svg == first
    program = (
        "import django; django.setup()\n"
        "from practice.engraving.engrave import engrave\n"
        "import sys; sys.stdout.write(engrave(sys.stdin.read()).svg)"
    )
    other = subprocess.run(
        [sys.executable, "-c", program],
        input=staff.mei,
        env={"DJANGO_SETTINGS_MODULE": "tests.settings", "PATH": "/usr/bin"},
        capture_output=True,
        text=True,
        check=True,
    )
    assert other.stdout == first


def test_four_threads_draw_what_one_draws() -> None:
    cards = [bowing_card(pattern, key).mei for pattern in BOWINGS for key in ALL_KEYS[::8]]
    cards = cards[:100]
    alone = [engrave(mei, CARD).svg for mei in cards]

    def all_of_them(start: int) -> list[str]:
        turned = cards[start:] + cards[:start]
        drawn = [drawn_cache.__wrapped__(mei, CARD).svg for mei in turned]
        return drawn[len(cards) - start :] + drawn[: len(cards) - start]

    with ThreadPoolExecutor(4) as pool:
        for drawn in pool.map(all_of_them, (0, 25, 50, 75)):
            assert drawn == alone


def test_the_picture_is_flat_and_self_contained() -> None:
    svg = engrave(scale_staff(G).mei, PAPER).svg
    assert svg.count("<svg") == 1
    for unwanted in (
        "<style",
        "<text",
        "style=",
        "currentColor",
        "xlink",
        "http://www.w3.org/1999",
    ):
        assert unwanted not in svg
    links = set(re.findall(r'href="#([^"]+)"', svg))
    assert links
    assert links <= set(re.findall(r'<g id="([^"]+)"', svg))


def test_ink_can_be_changed() -> None:
    dark = engrave(scale_staff(G).mei, Layout(ink=INK_DARK)).svg
    assert f'fill="{INK_DARK}"' in dark
    assert "#201A15" not in dark
    assert 'fill="currentColor"' in engrave(scale_staff(G).mei, Layout(ink="currentColor")).svg


@pytest.mark.parametrize("width", [92.0, 186.0])
def test_a_line_fills_the_width(width: float) -> None:
    engraving = engrave(scale_staff(G).mei, Layout(8.0, width))
    assert engraving.width_mm == pytest.approx(width, abs=0.2)


def test_a_long_exercise_breaks_into_lines() -> None:
    mei = bowing_staff(bowing("detache"), G, None, 3).mei
    narrow, wide = engrave(mei, Layout(8.0, 92.0)), engrave(mei, PAPER)
    assert narrow.height_mm > 1.3 * wide.height_mm > 1.5 * engrave(scale_staff(G).mei).height_mm


def test_natural_width_grows_with_the_music() -> None:
    sizes = [
        engrave(bowing_card(bowing(slug), G).mei, CARD).width_mm for slug in ("slur2", "slur8")
    ]
    assert 20 < sizes[0] < sizes[1] < 100


def test_the_staff_has_the_height_asked_for() -> None:
    svg = engrave(scale_staff(G).mei, Layout(10.0, None)).svg
    lines = sorted({float(y) for y in re.findall(r'd="M0 (\d+) L\d+ \1"', svg)})[:5]
    height = float(re.findall(r'viewBox="0 0 [\d.]+ ([\d.]+)"', svg)[0])
    mm = float(re.findall(r'height="([\d.]+)mm"', svg)[0])
    assert (lines[-1] - lines[0]) * mm / height == pytest.approx(10.0, abs=0.1)


def test_each_head_says_where_it_stands() -> None:
    heads = engrave(scale_staff(G).mei, PAPER).heads
    assert [head.note for head in heads] == [f"n{i}" for i in range(1, 16)]
    assert all(a.x < b.x and a.y > b.y for a, b in pairwise(heads))
    assert all(0 < head.x < 1 and 0 < head.y < 1 for head in heads)


@pytest.mark.parametrize("mei", ["", "no music", "<mei/>", "<mei", "\0"])
def test_what_cannot_be_drawn_is_told(mei: str) -> None:
    with pytest.raises(EngravingFailed, match="could not be"):
        engrave(mei, PAPER)
