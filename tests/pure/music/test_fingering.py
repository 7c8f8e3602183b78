from collections.abc import Iterable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from practice.music.errors import NoFingering
from practice.music.fingering import Rules, fingering
from practice.music.keys import ALL_KEYS, Key, parse_key
from practice.music.own_fingers import Own
from practice.music.pitch import Pitch, parse_pitch
from practice.music.scales import Arpeggio, arpeggio, forms_for, scale
from practice.music.violin import OPEN, STRINGS, Place, hands, position_name

# Letters under fingers 1 to 4 in positions I to VII, every string: the handbooks' rule that
# position p puts the first finger p steps above the open string; rows of the E string in I, II
# and III read in a teacher's table, the others computed by that rule.
POSITIONS = """
G 1 A3 B3 C4 D4|G 2 B3 C4 D4 E4|G 3 C4 D4 E4 F4|G 4 D4 E4 F4 G4|G 5 E4 F4 G4 A4|G 6 F4 G4 A4 B4
G 7 G4 A4 B4 C5|D 1 E4 F4 G4 A4|D 2 F4 G4 A4 B4|D 3 G4 A4 B4 C5|D 4 A4 B4 C5 D5|D 5 B4 C5 D5 E5
D 6 C5 D5 E5 F5|D 7 D5 E5 F5 G5|A 1 B4 C5 D5 E5|A 2 C5 D5 E5 F5|A 3 D5 E5 F5 G5|A 4 E5 F5 G5 A5
A 5 F5 G5 A5 B5|A 6 G5 A5 B5 C6|A 7 A5 B5 C6 D6|E 1 F5 G5 A5 B5|E 2 G5 A5 B5 C6|E 3 A5 B5 C6 D6
E 4 B5 C6 D6 E6|E 5 C6 D6 E6 F6|E 6 D6 E6 F6 G6|E 7 E6 F6 G6 A6
"""
TABLE = [row.split() for row in POSITIONS.replace("\n", "|").split("|") if row]

STEPS = ("C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B")
NAMED = [f"{step}{octave}" for octave in range(3, 7) for step in STEPS]


def fingers(places: Iterable[Place]) -> str:
    """Fingers with the string written where it changes: "G0123 D0123"."""
    text, string = "", ""
    for place in places:
        if place.string != string:
            text += f" {place.string}"
            string = place.string
        text += str(place.finger)
    return text.strip()


def played(run: Iterable[Pitch], rules: Rules = Rules()) -> str:  # noqa: B008
    return fingers(fingering(tuple(run), rules).places)


@pytest.mark.parametrize("row", TABLE, ids=lambda row: f"{row[0]}{row[1]}")
def test_fingers_fall_on_the_letters_of_the_position_table(row: list[str]) -> None:
    for finger, name in enumerate(row[2:], start=1):
        places = {(STRINGS[h.string], h.position, h.finger) for h in hands(parse_pitch(name))}
        assert (row[0], int(row[1]), finger) in places


# One- and two-octave scales in first position as the handbooks print them (common practice,
# no source); descending as ascending where the form is the same.
FIRST_POSITION = {
    ("G major", 1): "G0123 D0123",
    ("G major", 2): "G0123 D0123 A0123 E012",
    ("A major", 1): "G123 D01234",
    ("A major", 2): "G123 D0123 A0123 E0123",
    ("B flat major", 1): "G23 D0123 A01",
    ("B flat major", 2): "G23 D0123 A01234 E1234",
    ("C major", 1): "G3 D0123 A012",
    ("D major", 1): "D0123 A0123",
    ("E flat major", 1): "D1234 A1234",
    ("E major", 1): "D123 A01234",
    ("F major", 1): "D23 A0123 E01",
    ("A flat major", 2): "G1234 D1234 A1234 E123",
    ("B major", 2): "G234 D1234 A123 E01234",
    ("G minor", 2): "G0123 D0123 A0123 E012",
    ("A minor", 2): "G123 D0123 A0123 E0123",
    ("D minor", 1): "D0123 A0123",
}


@pytest.mark.parametrize(("name", "octaves"), FIRST_POSITION, ids=str)
def test_first_position_scales_are_the_handbooks(name: str, octaves: int) -> None:
    run = scale(parse_key(name), octaves=octaves)
    expected = FIRST_POSITION[name, octaves]
    if expected == "G123 D01234":  # one octave of A ends on the fourth finger or the open A
        assert played(run.up) in (expected, "G123 D0123 A0")
    elif expected == "D123 A01234":
        assert played(run.up) in (expected, "D123 A0123 E0")
    else:
        assert played(run.up) == expected
    assert {p.position for p in fingering(run.there_and_back).places} == {1}


@pytest.mark.parametrize("key", ALL_KEYS, ids=str)
def test_first_position_alone_reaches_every_one_octave_scale(key: Key) -> None:
    rules = Rules(highest_position=1)
    for form in forms_for(key):
        found = fingering(scale(key, form, 1).there_and_back, rules)
        assert {p.position for p in found.places} <= {0, 1}


# Three octaves as commonly taught (two handbooks' habit, from memory, no source): the first two
# octaves stay in first position, the first finger leads every shift up the E string, the way
# down mirrors the way up, and the top note is left to the fourth finger.
@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("G major", "G0123 D0123 A0123 E0123121234"),
        ("A major", "G123 D0123 A0123 E01231231234"),
        ("B flat major", "G23 D0123 A01234 E12312341234"),
    ],
)
def test_three_octaves_shift_on_the_first_finger(name: str, expected: str) -> None:
    run = scale(parse_key(name), octaves=3)
    found = fingering(run.up)
    assert fingers(found.places) == expected
    assert all(found.places[i].finger == 1 and found.places[i].string == "E" for i in found.shifts)
    both = fingering(run.there_and_back).places
    assert both[len(run.up) :] == both[: len(run.up) - 1][::-1]


@pytest.mark.parametrize("key", ALL_KEYS, ids=str)
@pytest.mark.parametrize("octaves", [1, 2, 3])
def test_every_place_sounds_the_note(key: Key, octaves: int) -> None:
    runs = [scale(key, form, octaves) for form in forms_for(key)]
    runs += [arpeggio(key, kind, octaves) for kind in Arpeggio]
    for run in runs:
        notes = run.there_and_back
        for pitch, place in zip(notes, fingering(notes).places, strict=True):
            opened = OPEN[STRINGS.index(place.string)]
            if place.finger == 0:
                assert pitch.midi == opened.midi
            else:
                letter = opened.diatonic + place.position + place.finger - 1
                assert abs(letter - pitch.diatonic) <= 1
                assert pitch.midi > opened.midi


@given(st.lists(st.integers(55, 88), min_size=1, max_size=12), st.data())
def test_the_teachers_fingers_stay(midi: list[int], data: st.DataObject) -> None:
    names = "C C# D D# E F F# G G# A A# B".split()  # noqa: SIM905
    notes = [parse_pitch(f"{names[m % 12]}{m // 12 - 1}") for m in midi]
    index = data.draw(st.integers(0, len(notes) - 1))
    possible = sorted({h.finger for h in hands(notes[index])})
    finger = data.draw(st.sampled_from(possible)) if possible else 0
    assert fingering(notes, fixed={index: finger}).places[index].finger == finger


@given(st.lists(st.integers(55, 88), min_size=1, max_size=12), st.data())
def test_the_teachers_strings_stay(midi: list[int], data: st.DataObject) -> None:
    notes = [next(p for p in (parse_pitch(t) for t in NAMED) if p.midi == m) for m in midi]
    index = data.draw(st.integers(0, len(notes) - 1))
    place = data.draw(st.sampled_from(hands(notes[index]) or (None,)))
    if place is None:
        return
    own = Own(place.finger, STRINGS[place.string])
    found = fingering(notes, fixed={index: own}).places[index]
    assert (found.finger, found.string) == own
    assert fingering(notes, fixed={index: Own(None, own.string)}).places[index].string == own.string


def test_a_finger_that_cannot_play_the_note_is_told() -> None:
    with pytest.raises(NoFingering, match="A 4 cannot be played with finger 3 on the E string"):
        fingering([parse_pitch("A4")], fixed={0: Own(3, "E")})
    with pytest.raises(NoFingering, match="B 4 cannot be played as an open string"):
        fingering([parse_pitch("B4")], fixed={0: 0})
    with pytest.raises(NoFingering, match="G 3 cannot be played with finger 2"):
        fingering([parse_pitch("G3")], fixed={0: 2})
    with pytest.raises(NoFingering, match="A 6 cannot be played in first position"):
        fingering([parse_pitch("A6")], Rules(highest_position=1))


def test_open_strings_can_be_avoided() -> None:
    run = scale(parse_key("D major"), octaves=1)
    assert "0" in played(run.up)
    places = fingering(run.up[1:], Rules(open_strings="avoid")).places
    assert all(place.finger for place in places)


def test_a_neighbouring_string_is_left_to_the_fourth_finger() -> None:
    # E4 is open on no string; D4 between two C4 lies under the fourth finger on the G string.
    notes = [parse_pitch(n) for n in ("C4", "D4", "C4", "D4", "C4")]
    assert fingers(fingering(notes).places) == "G34343"


def test_a_slur_moves_the_shift_elsewhere() -> None:
    run = scale(parse_key("A major"), octaves=3).up
    free = fingering(run)
    slurred = [False] * len(run)
    for i in free.shifts:
        slurred[i] = True
    assert set(fingering(run, slurred=slurred).shifts) != set(free.shifts)


def test_a_scale_on_one_string() -> None:
    notes = scale(parse_key("G major"), octaves=1).up
    places = fingering(notes, Rules(string="G")).places
    assert {p.string for p in places} == {"G"}


def test_extensions_are_named() -> None:
    run = scale(parse_key("C major"), octaves=2)
    top = fingering(run.up, Rules(highest_position=1)).places[-1]
    assert (top.finger, top.extension) == (4, "4th finger stretched")
    assert top.text == "E string, first position, finger 4 (4th finger stretched)"
    assert [position_name(p) for p in (0, 3)] == ["half position", "third position"]


def test_no_notes_need_no_fingers() -> None:
    assert fingering([]).places == ()
    with pytest.raises(NoFingering, match="1 slur marks for 2 notes"):
        fingering([parse_pitch("A4"), parse_pitch("B4")], slurred=[True])


# Two-octave arpeggios as commonly taught (common practice, no source).
@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("G major", "G02 D03 A13 E2"),
        ("A major", "G13 D1 A02 E03"),
        ("B flat major", "G2 D02 A13 E14"),
        ("C major", "G3 D13 A2 E024"),
        ("G minor", "G02 D03 A13 E2"),
        ("E minor", "D13 A1 E0214"),
    ],
)
def test_arpeggios_lie_as_taught_and_come_back_the_same_way(name: str, expected: str) -> None:
    run = arpeggio(parse_key(name), Arpeggio.TONIC, 2)
    places = fingering(run.there_and_back).places
    assert fingers(places[: len(run.up)]) == expected
    assert places == places[::-1]


def test_a_higher_note_is_not_looked_for_on_a_lower_string() -> None:
    notes = [parse_pitch(n) for n in ("C5", "E5", "G5", "B5", "E6")]
    strings = [p.string for p in fingering(notes).places]
    assert strings == sorted(strings, key="GDAE".index)
