"""Bars and pegs of a report, on their numbers."""

import datetime as dt
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from practice.figures.lesson_fates import LessonFate, fates_counted, fates_in_words
from practice.figures.lesson_pegs import MOST, lesson_pegs
from practice.figures.minutes_chart import TOP, minutes_chart
from practice.figures.term_weeks import Into, Off, WeekMinutes

DAY = dt.date(2026, 9, 14)


def week(number: int, planned: int, played: tuple[int, ...], off: Off | None = None) -> WeekMinutes:
    return WeekMinutes(number, DAY, DAY, planned, played, off)


minutes = st.integers(0, 3000)
weeks = st.lists(st.tuples(minutes, st.tuples(*[minutes] * 6)), min_size=1, max_size=60)


@given(weeks)
def test_heights_are_in_proportion_and_inside_the_picture(
    rows: list[tuple[int, tuple[int, ...]]],
) -> None:
    chart = minutes_chart([week(n, *row) for n, row in enumerate(rows, 1)])
    top_minutes, top_y = chart.grid[-1]
    each = (chart.base - top_y) / top_minutes
    assert len(chart.grid) <= 6
    for bar, (planned, played) in zip(chart.bars, rows, strict=True):
        assert sum(fill.height for fill in bar.fills) == pytest.approx(sum(played) * each, abs=0.05)
        assert all(fill.y >= TOP - 0.02 for fill in bar.fills)
        assert all(upper.y <= lower.y for lower, upper in pairwise(bar.fills))
        assert (bar.plan_y is None) == (planned == 0)


def test_the_six_fills_differ_without_colour() -> None:
    chart = minutes_chart([week(1, 60, (10, 10, 10, 10, 10, 10))])
    kinds = {(f.solid, bool(f.lines), bool(f.dots), "L" in f.lines) for f in chart.bars[0].fills}
    assert len(kinds) == len(Into) == 6


def test_hatching_stays_inside_its_rectangle() -> None:
    for fill in minutes_chart([week(1, 90, (1, 1, 37, 1, 29, 21))]).bars[0].fills:
        numbers = fill.lines.replace("M", " ").replace("L", " ").split("h")[0].split()
        if "L" in fill.lines:
            x, y = [float(n) for n in numbers[::2]], [float(n) for n in numbers[1::2]]
            assert min(x) >= fill.x - 0.01
            assert max(x) <= fill.x + fill.width + 0.01
            assert min(y) >= fill.y - 0.02
            assert max(y) <= fill.y + fill.height + 0.02


def test_a_term_without_any_minute_can_be_drawn() -> None:
    chart = minutes_chart([week(1, 0, (0,) * 6, Off.CLOSED), week(2, 0, (0,) * 6, Off.TO_COME)])
    assert [bar.rest for bar in chart.bars] == [True, False]
    assert chart.bars[0].why == "closed"


def test_a_year_long_term_numbers_not_every_week() -> None:
    chart = minutes_chart([week(n, 10, (5,) * 6) for n in range(1, 53)])
    assert [bar.label for bar in chart.bars][:4] == ["1", "", "", "4"]


def test_lessons_are_counted_in_words() -> None:
    fates = [LessonFate.KEPT] * 10 + [LessonFate.MISSED, LessonFate.MADE_UP]
    assert fates_in_words(fates) == "10 kept, 1 made up, 1 missed"
    assert sum(count for _, count in fates_counted(fates)) == 12
    assert fates_in_words([]) == ""


def test_a_peg_for_each_lesson_in_rows() -> None:
    pegs = lesson_pegs([LessonFate.KEPT] * 14)
    assert pegs is not None
    assert len(pegs.pegs) == 14
    assert pegs.pegs[13].x == pegs.pegs[0].x
    assert pegs.pegs[13].y > pegs.pegs[0].y


def test_too_many_lessons_are_left_to_the_words() -> None:
    assert lesson_pegs([]) is None
    assert lesson_pegs([LessonFate.KEPT] * (MOST + 1)) is None
