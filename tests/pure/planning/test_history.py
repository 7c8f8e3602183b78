"""What the weeks before say to the next one: nothing is punished, nothing doubled."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from practice.planning.types import DayIn, History, Logged, WeekInputs
from practice.planning.versions import build
from tests.pure.planning.strategies import weeks
from tests.pure.planning.weeks import MINUET, day, practice_days, same_table, week


@given(weeks())
def test_minutes_logged_twice_as_long_as_planned_change_no_item(inputs: WeekInputs) -> None:
    doubled = tuple(replace(each, minutes=each.minutes * 2) for each in inputs.history.logged)
    more = replace(inputs, history=replace(inputs.history, logged=doubled))
    assert build(more).days == build(inputs).days


@given(weeks(), st.integers(1, 6))
def test_a_missed_week_gives_no_day_more_minutes(inputs: WeekInputs, short: int) -> None:
    keys = {item.key for each in build(inputs).days for item in each.items}
    missed = replace(inputs, history=History(left_out=tuple(sorted(keys))))
    fresh = replace(inputs, history=History())
    for one, two in zip(build(missed).days, build(fresh).days, strict=True):
        assert one.minutes == two.minutes


@given(weeks())
def test_only_the_first_two_days_after_a_week_off_are_shorter(inputs: WeekInputs) -> None:
    planned = practice_days(build(inputs))
    first = next((each.date for each in planned), None)
    off = set(inputs.history.days_off) | {each.date for each in inputs.days if each.off}
    run = 0
    while first and first.toordinal() - run - 1 in {each.toordinal() for each in off}:
        run += 1
    for number, each in enumerate(planned):
        percent = {0: 60, 1: 80}.get(number, 100) if run >= 7 else 100
        assert each.minutes == -(-each.budget * percent // 100)
        assert bool(each.note) == (each.minutes < each.budget)


def test_the_first_days_back_after_a_holiday() -> None:
    holiday = tuple(day(-n) for n in range(1, 9))
    plan = build(week([20, 20, 20], history=History(days_off=holiday)))
    assert same_table(
        plan,
        """
                          Thu  Fri  Sat
        After school
          stretch           1    1    1
          warm_up           1    2    3
          scale:1           2    3    5
          etude:1           2    2    3
          spot:3            2    2    2
          spot:7            .    2    .
          run:1             2    .    2
          favourite:1       2    2    2
          explore           .    2    2
        minutes            12   16   20
        """,
    )
    assert plan.days[0].note == "Coming back after a week off: 12 instead of 20 minutes."


def test_days_off_at_the_start_of_the_week_count_too() -> None:
    off = History(days_off=tuple(day(-n) for n in range(1, 5)))
    assert [each.minutes for each in build(week([0, 0, 0, 20, 20], history=off)).days] == [
        *(0, 0, 0),
        *(12, 16),
    ]


def test_minutes_the_teacher_set_by_hand_stand() -> None:
    off = History(days_off=tuple(day(-n) for n in range(1, 9)))
    days = (DayIn(day(0), 20, by_hand=True), DayIn(day(1), 20))
    plan = build(replace(MINUET, days=days, history=off))
    assert [each.minutes for each in plan.days] == [20, 16]


def test_what_was_left_out_gets_a_little_more_on_its_first_day() -> None:
    def etude(history: History) -> list[int]:
        plan = build(week([40] * 2, history=history))
        return [i.minutes for each in plan.days for i in each.items if i.key == "etude:1"]

    usual, more = etude(History()), etude(History(left_out=("etude:1",)))
    assert more[0] > usual[0]
    assert more[1] == usual[1]


def test_a_log_inside_the_week_itself_is_no_history() -> None:
    inside = History((Logged(day(1), "etude:1", 500),))
    assert build(week([20] * 3, history=inside)).cautions == ()
