import json
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from practice.music.abc_bar import read_abc
from practice.music.bowing_list import BOWINGS
from practice.music.bowings import Pattern
from practice.music.errors import OutOfRange
from practice.music.exercise import pour
from practice.music.keys import ALL_KEYS, Key, parse_key
from practice.music.pitch import parse_pitch
from practice.music.scales import scale
from practice.music.sounding import beat_of, drone, frequency, sounding_json, tones
from practice.music.staves import scale_staff

ROWS = [
    row.split(";")
    for row in (Path(__file__).parent / "data" / "pitch.csv").read_text().splitlines()[2:]
]


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row[1])
def test_frequencies_match_the_table(row: list[str]) -> None:
    pitch = parse_pitch(row[1])
    assert pitch.midi == int(row[0])
    for a, hz in zip((440, 442, 415), row[2:], strict=True):
        assert frequency(pitch, a) == pytest.approx(float(hz), abs=6e-5)


@pytest.mark.parametrize("a", [414.9, 446.1, 0, float("nan")])
def test_an_a_that_no_studio_tunes_to_is_refused(a: float) -> None:
    with pytest.raises(OutOfRange, match="choose 415 to 446"):
        frequency(parse_pitch("A4"), a)


@given(st.sampled_from(BOWINGS), st.sampled_from(ALL_KEYS))
def test_tones_follow_one_another_and_fill_the_bars(pattern: Pattern, key: Key) -> None:
    line = pour(pattern, scale(key)).line
    found = tones(line)
    assert all(one.start + one.length <= other.start for one, other in pairwise(found))
    assert found[-1].start < len(line.bars) * line.bars[0].quarters / beat_of(line)
    assert len(found) == len(line.pitches) - sum(note.tie for note in line.notes)


def test_ties_graces_and_short_notes() -> None:
    line = read_abc("M:3/4\nL:1/8\nK:G\nA2- A2 {c}B2 | .c2 z2 [GB]2")
    found = tones(line)
    assert [(t.note, t.start, t.length) for t in found] == [
        ("n1", 0, 2),
        ("n3", 2, Fraction(1, 8)),
        ("n4", Fraction(17, 8), Fraction(7, 8)),
        ("n5", 3, Fraction(1, 2)),
        ("n6", 5, 1),
    ]
    assert len(found[-1].hz) == 2


def test_in_six_eight_the_beat_is_a_dotted_quarter() -> None:
    found = tones(read_abc("M:6/8\nL:1/8\nK:G\nABc d3"))
    assert [t.start for t in found] == [0, Fraction(1, 3), Fraction(2, 3), 1]


def test_the_drone_is_the_tonic_and_its_fifth() -> None:
    line = read_abc("K:G\nL:1/4\nA")
    assert drone(line) == (195.9977, 293.6648)  # G3 and D4, table above
    assert drone(read_abc("K:F#m\nL:1/4\nA"))[0] == 369.9944  # F sharp 4: F sharp 3 is too low


def test_the_browser_gets_plain_numbers() -> None:
    data = sounding_json(read_abc("M:3/4\nL:1/8\nK:G\ne2 (cd) (ef) | g6"), 442)
    assert json.loads(json.dumps(data)) == data
    assert data["bars"] == [0, 3]
    assert data["beats"] == 6
    assert data["notes"][1] == ["n2", 1, 0.5, 525.6295]


def test_a_bare_scale_sounds_one_note_a_beat() -> None:
    line = scale_staff(parse_key("G major"), octaves=1).line
    assert [t.start for t in tones(line)] == list(range(8))
