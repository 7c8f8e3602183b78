import json

import pytest
from music21 import interval, pitch

from practice.music.abc_bar import read_abc
from practice.music.bowing_list import BOWINGS
from practice.music.bowings import Pattern
from practice.music.errors import BadRhythm, MusicError, OutOfRange
from practice.music.excerpt import (
    borrowed_bowing,
    excerpt_as_json,
    excerpt_from_json,
    simpler_keys,
    transposed,
)
from practice.music.exercise import pour
from practice.music.keys import ALL_KEYS, Key, parse_key
from practice.music.line import Line
from practice.music.pitch import Pitch
from practice.music.scales import scale

G = parse_key("G major")


def bars(abc: str, metre: str = "3/4") -> Line:
    return read_abc(f"M:{metre}\nL:1/8\nK:G\n{abc}")


def test_an_excerpt_survives_storage() -> None:
    line = bars("v!4!e2 u(!2!cd) v(!0!ef) | g2 z2 [GB]2")
    stored = json.loads(json.dumps(excerpt_as_json(line)))
    assert excerpt_from_json(stored) == line


def test_printed_bar_numbers_survive_storage() -> None:
    data = {"abc": "M:3/4\nK:G\nA6", "bars": ["12a"]}
    line = excerpt_from_json(data)
    assert line.bars[0].number == "12a"
    assert excerpt_as_json(line)["bars"] == ["12a"]


@pytest.mark.parametrize(
    ("abc", "metre", "code"),
    [
        ("e2 (cd) (ef)", "3/4", "3/4 4 (8 8) (8 8)"),
        ("D>A F>A", "2/4", "2/4 8. 16 8. 16"),
        (".A.B.c.d", "2/4", "2/4 8s 8s 8s 8s"),
        ("{g}A2 B2 c2", "3/4", "3/4 4 4 4"),  # a grace takes no bow of its own
        ("A2- A2 B2", "3/4", "3/4 2 4"),  # tied notes are one note
        ("(A2 B c-) c2", "3/4", "3/4 (4 8 4.)"),
        ("vA2 uB2 uc2", "3/4", "3/4 4 4 =4"),  # two up-bows in a row
        ("uA2 vB2 uc2", "3/4", "3/4 up 4 4 4"),
        ("A2 uB2 vc2", "3/4", "3/4 4 4 4"),
        ("A z (Bc) d2", "3/4", "3/4 8 r8 (8 8) 4"),
        ("[GB]2 A2 B2", "3/4", "3/4 4 4 4"),
        ("(3ABc d2", "2/4", "2/4 8t 8t 8t 4"),
        ("B2", "3/4", "1/4 4"),  # a pickup gives a metre of its own length
    ],
)
def test_the_bowing_of_a_bar(abc: str, metre: str, code: str) -> None:
    assert borrowed_bowing(bars(abc, metre)).code == code


def test_a_slur_cut_by_the_edge_runs_to_the_edge() -> None:
    line = bars("(A2 B2 c2 | d2 e2) f2")
    first, second = (Line(line.key, line.metre, (bar,)) for bar in line.bars)
    assert borrowed_bowing(first).slurs == (3,)
    assert borrowed_bowing(second).slurs == (2, 1)


@pytest.mark.parametrize("pattern", [p for p in BOWINGS if p.each == 1], ids=lambda p: p.slug)
def test_a_bowing_poured_into_a_scale_is_borrowed_back(pattern: Pattern) -> None:
    line = pour(pattern, scale(G, octaves=2)).line.first(1)
    back = borrowed_bowing(line)
    copies = int(pattern.metre.bar / pattern.quarters)
    assert back.values == pattern.values * copies
    assert back.slurs == pattern.slurs * copies
    assert back.directions[: len(pattern.slurs)] == pattern.directions


def test_bars_with_nothing_to_borrow_are_told() -> None:
    with pytest.raises(BadRhythm, match="hold no notes"):
        borrowed_bowing(bars("z6"))
    with pytest.raises(BadRhythm, match="hold 36 notes. Choose fewer bars"):
        borrowed_bowing(bars(" | ".join(["A/B/c/A/B/c/A/B/c/A/B/c/"] * 3)))


def test_transposed_the_intervals_stay() -> None:
    line = bars("e2 (c^d) (ef)")
    moved = transposed(line, parse_key("D major"))
    assert [p.name for p in moved.pitches] == ["B4", "G4", "A#4", "B4", "C#5"]
    assert [n.value for n in moved.notes] == [n.value for n in line.notes]
    assert {b.midi - a.midi for a, b in zip(line.pitches, moved.pitches, strict=True)} == {-5}


def test_transposing_goes_up_where_down_leaves_the_violin() -> None:
    low = bars("G,2 A,2 B,2")
    assert transposed(low, parse_key("F major")).pitches[0].name == "F4"


def test_transposing_keeps_the_mode() -> None:
    with pytest.raises(MusicError, match="G major cannot be moved to E minor: keep the mode"):
        transposed(bars("A2"), parse_key("E minor"))


def test_what_leaves_the_violin_is_refused() -> None:
    wide = bars("G,2 b''2")
    with pytest.raises(OutOfRange, match="In F major these bars leave"):
        transposed(wide, parse_key("F major"))


def test_simpler_keys_have_fewer_signs_and_stay_low() -> None:
    line = read_abc("M:3/4\nL:1/8\nK:E\ne2 (gb) (ef)")
    assert [key.name for key in simpler_keys(line)] == ["C major", "D major", "B flat major"]
    assert simpler_keys(read_abc("K:C\nL:1/4\nA")) == ()
    for key in simpler_keys(line):
        assert transposed(line, key).key == key


KEYS_WITH_SIGNS = [key for key in ALL_KEYS if key.signature]


@pytest.mark.parametrize("key", KEYS_WITH_SIGNS, ids=str)
def test_simpler_keys_are_spelled_as_music21_transposes(key: Key) -> None:
    """music21's own interval, applied note by note, is the check."""
    line = read_abc("[M:4/4][L:1/8]e2 ^c=d (_BA) !2!G2", key)
    for simpler in simpler_keys(line, 4):
        assert abs(simpler.signature) < abs(key.signature)
        moved = transposed(line, simpler)
        assert [n.value for n in moved.notes] == [n.value for n in line.notes]
        assert [n.slur_start for n in moved.notes] == [n.slur_start for n in line.notes]
        by = interval.Interval(_m21(key.pitch(4)), _m21(simpler.pitch(4)))
        expected = [by.transposePitch(_m21(each)).name for each in line.pitches]
        assert [_m21(each).name for each in moved.pitches] == expected
        shifts = {b.midi - a.midi for a, b in zip(line.pitches, moved.pitches, strict=True)}
        assert {shift % 12 for shift in shifts} == {by.semitones % 12}
        assert len(shifts) == 1


def _m21(found: Pitch) -> pitch.Pitch:
    return pitch.Pitch(found.name.replace("b", "-"))
