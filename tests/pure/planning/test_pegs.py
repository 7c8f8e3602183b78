"""L10: tempo pegs along the marks of the classical metronome."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from practice.music.metronome import MARKS
from practice.planning.pegs import pegs
from practice.planning.versions import build
from tests.pure.planning.weeks import week


@given(st.integers(20, 300), st.integers(20, 300))
def test_pegs_rise_from_now_to_wanted(now: int, goal: int) -> None:
    found = pegs(now, goal)
    if now >= goal:
        assert found == (goal,)
        return
    assert 2 <= len(found) <= 6
    assert (found[0], found[-1]) == (now, goal)
    assert all(one < two for one, two in pairwise(found))
    assert all(peg in MARKS for peg in found[1:-1])


@given(st.sampled_from(MARKS), st.sampled_from(MARKS))
def test_between_marks_the_steps_only_widen(now: int, goal: int) -> None:
    steps = [MARKS.index(two) - MARKS.index(one) for one, two in pairwise(pegs(now, goal))]
    assert steps == sorted(steps)
    assert not steps or max(steps) - min(steps) <= 1
    if len(steps) < 5:
        assert set(steps) <= {1}


# Marks as two published lists of metronome numbers agree on them: steps of 2 from 40, 3 from 60,
# 4 from 72, 6 from 120, 8 from 144.
KNOWN = [
    (60, 63, (60, 63)),
    (60, 72, (60, 63, 66, 69, 72)),
    (60, 80, (60, 63, 66, 69, 72, 80)),
    (66, 80, (66, 69, 72, 76, 80)),
    (52, 72, (52, 54, 56, 60, 66, 72)),
    (40, 208, (40, 54, 72, 104, 144, 208)),
    (120, 144, (120, 126, 132, 138, 144)),
    (61, 85, (61, 63, 66, 69, 76, 85)),
    (62, 66, (62, 66)),
    (80, 81, (80, 81)),
    (30, 44, (30, 40, 42, 44)),
    (200, 240, (200, 208, 240)),
    (80, 80, (80,)),
    (90, 80, (80,)),
]


@pytest.mark.parametrize(("now", "goal", "expected"), KNOWN)
def test_known_sequences(now: int, goal: int, expected: tuple[int, ...]) -> None:
    assert pegs(now, goal) == expected


def test_spots_and_a_scale_with_a_tempo_carry_pegs_and_nothing_else_does() -> None:
    with_pegs = {item.key: item.pegs for item in build(week([40])).days[0].items if item.pegs}
    assert with_pegs == {"spot:3": (60, 63, 66, 69, 72, 80), "spot:7": (66, 69, 72, 76, 80)}
