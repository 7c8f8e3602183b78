from contextlib import suppress
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from practice.music.bowing_list import BOWINGS, bowing
from practice.music.bowings import Pattern, parse_pattern
from practice.music.errors import DoesNotFit, NoFingering
from practice.music.exercise import Exercise, pour
from practice.music.fingering import Rules, fingering
from practice.music.how import How, run_of
from practice.music.keys import ALL_KEYS, Key, parse_key
from practice.music.line import Note
from practice.music.pitch import HIGHEST, LOWEST
from practice.music.rhythm import parse_metre
from practice.music.scales import Arpeggio, Run, arpeggio, scale
from practice.music.violin import hands

BORROWED = parse_pattern("3/4 4 (8 8) (8 8)", name="long, two, two")
PATTERNS = (*BOWINGS, BORROWED, parse_pattern("3/4 4 4 =4"), parse_pattern("6/8 (8 8 8 8 8) 8"))


def strokes(exercise: Exercise) -> list[list[Note]]:
    """Notes grouped by bow stroke; a printed bow begins each."""
    groups: list[list[Note]] = []
    for note in exercise.line.notes:
        if note.pitch is None:
            continue
        if note.bow:
            groups.append([])
        groups[-1].append(note)
    return groups


runs = st.builds(
    lambda key, octaves, kind: arpeggio(key, kind, octaves) if kind else scale(key, None, octaves),
    st.sampled_from(ALL_KEYS),
    st.integers(1, 3),
    st.sampled_from([None, *Arpeggio]),
)


@given(st.sampled_from(PATTERNS), runs)
def test_every_bowing_fits_every_scale(pattern: Pattern, run: Run) -> None:
    exercise = pour(pattern, run)
    bars = exercise.line.bars
    assert all(bar.quarters == pattern.metre.bar for bar in bars)
    assert all(LOWEST.midi <= p.midi <= HIGHEST.midi for p in exercise.line.pitches)
    played = [note.pitch for note in exercise.line.notes if note.pitch]
    assert played[: len(run.up) * pattern.each : pattern.each] == list(run.up)
    assert played[-1] == run.up[0]


@given(st.sampled_from(PATTERNS), runs)
def test_bows_alternate_through_the_whole_exercise(pattern: Pattern, run: Run) -> None:
    exercise = pour(pattern, run)
    bows = [group[0].bow for group in strokes(exercise)]
    assert bows[0] == pattern.start
    if not pattern.same_bow:
        assert all(one != other for one, other in pairwise(bows))


@given(st.sampled_from(PATTERNS), runs)
def test_slurs_open_and_close_with_their_stroke(pattern: Pattern, run: Run) -> None:
    for group in strokes(pour(pattern, run)):
        if group[0].tie or len(group) == 1:
            assert not any(note.slur_start or note.slur_end for note in group)
        else:
            assert [n.slur_start for n in group] == [True] + [False] * (len(group) - 1)
            assert [n.slur_end for n in group] == [False] * (len(group) - 1) + [True]


@given(st.sampled_from(PATTERNS), runs)
def test_no_slur_holds_the_same_note_twice_running(pattern: Pattern, run: Run) -> None:
    if pattern.each == 1:
        for group in strokes(pour(pattern, run)):
            if not group[0].tie:
                assert all(a.pitch != b.pitch for a, b in pairwise(group))


def pitches_of(exercise: Exercise) -> str:
    return " ".join(p.text(octave=False) for p in exercise.line.pitches)


def test_an_even_scale_is_played_as_it_is() -> None:
    exercise = pour(bowing("2s2d"), scale(parse_key("G major"), octaves=2))
    assert exercise.completion == ""
    assert len(exercise.line.bars) == 8
    assert exercise.line.bars[-1].notes[0].value.code == "2"


def test_an_uneven_scale_goes_over_the_top() -> None:
    exercise = pour(bowing("2s2d"), scale(parse_key("G major"), octaves=1))
    assert exercise.completion == "Go one note over the top."
    assert pitches_of(exercise) == "G A B C D E F sharp G A G F sharp E D C B A G"


def test_a_turn_never_leaves_first_position_for_its_own_sake() -> None:
    # Sixteen and sixteen notes before the last: A major would need C sharp 6.
    exercise = pour(bowing("slur8"), scale(parse_key("A major"), octaves=2))
    assert max(exercise.line.pitches).name == "B5"
    assert exercise.completion == (
        "Go one note over the top and touch the note below before the last one."
    )


@pytest.mark.parametrize("highest", [1, 3, 5, 8, 12])
@pytest.mark.parametrize("key", ALL_KEYS, ids=str)
def test_a_turn_stays_in_the_students_positions(key: Key, highest: int) -> None:
    rules = Rules(highest_position=highest)
    for octaves in (1, 2, 3):
        run = scale(key, octaves=octaves)
        with suppress(NoFingering):
            fingering(run.there_and_back, rules)
            pour(bowing("slur8"), run, rules=rules)
            continue
        with pytest.raises(NoFingering):  # only because the scale itself cannot be played
            fingering(run.there_and_back, rules)


@pytest.mark.parametrize(
    ("key", "string", "highest", "completion"),
    [
        # The fourth finger in fifth position on D stands on E flat or E.
        ("E flat major", "D", 5, "Touch the note below before the last one."),
        ("E flat major", "D", 15, "Go one note over the top."),
        # No note below the open string is on it; in fourth position the fourth finger is on A.
        ("A major", "A", 4, "Complete the last bowing on the last note, one bow a note."),
        ("A major", "A", 5, "Go one note over the top."),
    ],
)
def test_a_turn_stays_on_the_one_string(
    key: str, string: str, highest: int, completion: str
) -> None:
    how = How(string, highest=highest)
    exercise = pour(bowing("slur4"), run_of(parse_key(key), None, 1, how), rules=how.rules)
    assert exercise.completion == completion
    assert {place.string for place in exercise.fingering.places} == {string}
    assert max(place.position for place in exercise.fingering.places) <= highest


def test_what_fits_no_turn_is_completed_on_the_last_note() -> None:
    pattern = parse_pattern("3/4 (16 16) 16 16 16 16 16 16 16 16 8")
    exercise = pour(pattern, scale(parse_key("B major"), octaves=1))
    assert exercise.completion == "Complete the last bowing on the last note, one bow a note."
    assert all(bar.quarters == 3 for bar in exercise.line.bars)
    assert pitches_of(exercise).endswith("D sharp C sharp " + "B " * 8 + "B")


def test_the_bars_that_begin_with_the_other_bow_are_told() -> None:
    exercise = pour(BORROWED, scale(parse_key("G major"), octaves=2))
    assert exercise.turned == (2, 4, 6)
    assert exercise.bow_remark == "The bow turns round: bars 2, 4, 6 begin up-bow."
    for number in exercise.turned:
        assert exercise.line.bars[number - 1].notes[0].bow == "up"
    steady = pour(bowing("slur2"), scale(parse_key("G major"), octaves=2))
    assert steady.bow_remark == "Every bowing begins down-bow."


def test_another_metre_is_used_where_no_note_crosses_a_bar() -> None:
    run = scale(parse_key("G major"), octaves=2)
    exercise = pour(bowing("2s2d"), run, metre=parse_metre("3/4"))
    assert all(bar.quarters == 3 for bar in exercise.line.bars)
    with pytest.raises(DoesNotFit, match="In 3/4 a dotted quarter note"):
        pour(parse_pattern("4/4 4. 4. 4"), run, metre=parse_metre("3/4"))


def test_the_teachers_finger_is_printed() -> None:
    run = scale(parse_key("G major"), octaves=1)
    exercise = pour(bowing("detache"), run, fixed={4: 4})
    assert exercise.line.notes[4].finger == 4


@pytest.mark.parametrize("key", ALL_KEYS, ids=str)
def test_the_first_bars_stand_alone(key: Key) -> None:
    line = pour(bowing("slur16"), scale(key)).line.first(1)
    opened = sum(note.slur_start for note in line.notes)
    assert opened == sum(note.slur_end for note in line.notes) == 1


@given(st.sampled_from(PATTERNS), st.sampled_from(ALL_KEYS), st.integers(1, 3), st.data())
def test_a_finger_written_over_the_scale_stands_in_every_bowing(
    pattern: Pattern, key: Key, octaves: int, data: st.DataObject
) -> None:
    run = scale(key, None, octaves)
    notes = run.there_and_back
    place = data.draw(st.integers(0, len(notes) - 1))
    wanted = data.draw(st.sampled_from(sorted({h.finger for h in hands(notes[place])} or {0})))
    exercise = pour(pattern, run, fixed={place: wanted})
    played = [note for note in exercise.line.notes if note.pitch]
    assert len(exercise.places) == len(played)
    for note, own in zip(played, exercise.places, strict=True):
        assert own is None or note.pitch == notes[own]
        assert own != place or note.finger == wanted
    assert place in exercise.places


def test_a_note_that_only_the_turn_adds_is_no_note_of_the_scale() -> None:
    exercise = pour(bowing("2s2d"), scale(parse_key("G major"), octaves=1))
    assert exercise.places == (*range(8), None, *range(7, 15))
