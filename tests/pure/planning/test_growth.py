"""L12: a week that outgrows the teacher's own limit raises a caution with the numbers."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given

from practice.planning.load import weekly_minutes
from practice.planning.types import History, Logged, Routine, WeekInputs
from practice.planning.versions import build
from tests.pure.planning.strategies import weeks
from tests.pure.planning.weeks import THURSDAY, week


def four_weeks(*minutes: int) -> History:
    """One log entry in each of the last weeks, the latest last."""
    return History(
        tuple(
            Logged(THURSDAY - dt.timedelta(days=7 * back - 2), "scale:1", total)
            for back, total in zip(range(len(minutes), 0, -1), minutes, strict=True)
            if total
        )
    )


@given(weeks())
def test_a_caution_exactly_beyond_the_limit(inputs: WeekInputs) -> None:
    plan = build(inputs)
    first = inputs.days[0].date
    sums = [
        sum(e.minutes for e in inputs.history.logged if 7 * n < (first - e.date).days <= 7 * n + 7)
        for n in range(4)
    ]
    known = [total for total in sums if total]
    total = sum(day.minutes for day in plan.days)
    too_much = bool(known) and total > Fraction(sum(known), len(known)) * Fraction(125, 100)
    assert bool(plan.cautions) == (too_much and total > 0)


@given(weeks())
def test_a_caution_changes_no_item(inputs: WeekInputs) -> None:
    strict = replace(inputs, routine=replace(inputs.routine, growth_limit_percent=1))
    loose = replace(inputs, routine=replace(inputs.routine, growth_limit_percent=200))
    assert build(strict).days == build(loose).days


# | logged weeks      | mean | this week | limit | caution |
@pytest.mark.parametrize(
    ("logged", "limit", "caution"),
    [
        ((100, 100, 100, 100), 25, False),
        ((100, 100, 100, 96), 25, True),
        ((125, 0, 0, 0), 25, False),
        ((0, 0, 0, 60), 25, True),
        ((0, 0, 0, 60), 200, False),
        ((), 25, False),
    ],
)
def test_one_hundred_and_twenty_five_minutes_after(
    logged: tuple[int, ...], limit: int, caution: bool
) -> None:
    inputs = week(
        [25] * 5, history=four_weeks(*logged), routine=Routine(growth_limit_percent=limit)
    )
    assert bool(build(inputs).cautions) == caution


def test_the_caution_gives_the_numbers() -> None:
    plan = build(week([25] * 6, history=four_weeks(0, 100, 120, 0)))
    assert plan.cautions == (
        "150 minutes this week are 36% more than the mean of the last 2 logged weeks (110);"
        " your limit is 25%.",
    )


def test_weeks_are_counted_back_from_the_first_day() -> None:
    logged = [Logged(THURSDAY - dt.timedelta(days=n), "etude:1", 10) for n in (0, 1, 7, 8, 28, 29)]
    assert weekly_minutes(logged, THURSDAY) == [10, None, 10, 20]
