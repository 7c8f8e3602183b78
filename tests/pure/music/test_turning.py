"""Bow at the top and why a scale grows, against a walk through the written notes."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from practice.music.bowing_list import BOWINGS, bowing
from practice.music.bowings import Pattern, parse_pattern
from practice.music.exercise import Exercise, pour
from practice.music.fit import variations
from practice.music.how import How, run_of
from practice.music.keys import ALL_KEYS, Key, parse_key
from practice.music.turning import at_the_top, uneven_words

G = parse_key("G major")
ALL = [each for pattern in BOWINGS for each in (pattern, *variations(pattern).values())]


def walked(exercise: Exercise) -> tuple[str, int, bool]:
    """Bow and bar of the first note down, and whether no new stroke begins on it: counted from
    slurs and alternation alone, without the bows that are printed."""
    bow, strokes, tops = exercise.pattern.start, 0, []
    notes = [
        (note, number)
        for number, bar in enumerate(exercise.line.bars, start=1)
        for note in bar.notes
    ]
    under = False
    for note, number in notes:
        if note.pitch is None:
            continue
        begins = not under
        if begins and strokes:
            bow = "up" if bow == "down" else "down"
        strokes += begins
        under = (under or note.slur_start) and not note.slur_end
        tops.append((note.pitch.midi, bow, number, not begins))
    highest = max(top[0] for top in tops)
    last = max(i for i, top in enumerate(tops) if top[0] == highest)
    return tops[last + 1][1:]


@given(
    st.sampled_from([p for p in ALL if not p.same_bow]),
    st.sampled_from(ALL_KEYS),
    st.integers(1, 3),
    st.integers(0, 2),
)
def test_the_bow_at_the_top_is_the_one_that_alternation_brings(
    pattern: Pattern, key: Key, octaves: int, over: int
) -> None:
    run = run_of(key, None, octaves, How(over=over if octaves < 3 else 0))
    exercise = pour(pattern, run)
    top = at_the_top(exercise)
    assert (top.bow, top.bar, top.slurred) == walked(exercise)
    assert top.reversed == (top.bow != pattern.start)


def test_a_slur_over_the_top_is_told() -> None:
    # G A B C | D E F# G | A G F# E: the third stroke begins on the added A and comes down.
    top = at_the_top(pour(bowing("slur4"), run_of(G, None, 1)))
    assert top.words == top.told == "The top lies inside one down-bow."


def test_a_bow_that_turns_round_at_the_top_is_told_with_its_bar() -> None:
    # Fifteen strokes up, the last one down-bow; four in a bar.
    top = at_the_top(pour(bowing("detache"), run_of(G, None, 2)))
    assert top.told == "At the top the bow turns round: the way down begins up-bow, in bar 4."


def test_a_bow_that_comes_as_expected_is_not_told_on_the_sheet() -> None:
    top = at_the_top(pour(bowing("detache"), run_of(G, None, 1)))
    assert (top.words, top.told) == ("The way down begins down-bow, as the way up did.", "")


def test_why_a_scale_grows_is_told_with_its_count() -> None:
    assert uneven_words(pour(bowing("2s2d"), run_of(G, None, 1))) == (
        "Before the last note stand 14 notes and the bowing takes 4 at a time, "
        "so go one note over the top."
    )
    assert uneven_words(pour(bowing("slur2"), run_of(G, None, 1))) == ""


def test_a_scale_that_is_over_the_top_already_goes_one_more() -> None:
    for over in (1, 2):
        exercise = pour(bowing("slur8"), run_of(G, None, 2, How(over=over)))
        assert "over the top" not in exercise.completion or "more over" in exercise.completion


@pytest.mark.parametrize("pattern", BOWINGS, ids=lambda p: p.slug)
def test_variations_keep_the_strokes_and_doubled_takes_half_the_time(pattern: Pattern) -> None:
    for name, made in variations(pattern).items():
        if name == "doubled":
            assert made.quarters == pattern.quarters
            assert made.notes == 2 * pattern.notes
            assert made.slurs == pattern.slurs * 2
            assert {v.quarters for v in made.values} == {v.quarters / 2 for v in pattern.values}
        else:
            assert (made.slurs, made.quarters) == (pattern.slurs, pattern.quarters)
            assert made.values != pattern.values


def test_what_cannot_be_written_twice_as_fast_is_not_offered() -> None:
    assert "doubled" not in variations(parse_pattern("2/4 64 64 32 16 8 4"))
    seventeen = parse_pattern("4/4 " + "32 " * 17)
    assert "doubled" not in variations(seventeen)
