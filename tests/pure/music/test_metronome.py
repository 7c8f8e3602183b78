import pytest
from hypothesis import given
from hypothesis import strategies as st

from practice.music.metronome import MARKS, between, nearest, step_down, step_up

# The printed scale of the mechanical metronome, copied from two makers' lists read elsewhere.
PRINTED = (
    "40 42 44 46 48 50 52 54 56 58 60 63 66 69 72 76 80 84 88 92 96 100 104 108 112 116 "
    "120 126 132 138 144 152 160 168 176 184 192 200 208"
)


def test_the_39_marks() -> None:
    assert " ".join(map(str, MARKS)) == PRINTED


@pytest.mark.parametrize(
    ("bpm", "up", "down"), [(60, 63, 58), (61, 63, 60), (208, 208, 200), (40, 42, 40), (20, 40, 40)]
)
def test_steps_land_on_marks(bpm: int, up: int, down: int) -> None:
    assert (step_up(bpm), step_down(bpm)) == (up, down)


@given(st.integers(40, 208))
def test_up_and_down_enclose_the_tempo(bpm: int) -> None:
    assert step_down(bpm) <= bpm <= step_up(bpm)
    assert nearest(bpm) in (bpm, step_down(bpm), step_up(bpm))


def test_several_steps_and_the_marks_between() -> None:
    assert step_up(60, 3) == 69
    assert step_down(120, 2) == 112
    assert between(60, 80) == (63, 66, 69, 72, 76, 80)
    assert between(61, 79) == (63, 66, 69, 72, 76)
