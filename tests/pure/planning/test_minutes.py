"""L2: whole minutes that sum to the day's budget, shared by largest remainder."""

from __future__ import annotations

from hypothesis import given

from practice.planning.types import Part, WeekInputs
from practice.planning.versions import build
from tests.pure.planning.strategies import pinned_weeks, weeks
from tests.pure.planning.weeks import ONE_SESSION, same_table, week


@given(weeks())
def test_each_day_sums_to_its_minutes_and_no_item_is_below_one(inputs: WeekInputs) -> None:
    plan = build(inputs)
    assert [day.date for day in plan.days] == [day.date for day in inputs.days]
    for given_day, day in zip(inputs.days, plan.days, strict=True):
        assert day.budget == (0 if given_day.off else given_day.minutes)
        assert sum(item.minutes for item in day.items) == day.minutes
        assert all(type(item.minutes) is int and item.minutes >= 1 for item in day.items)
        assert day.minutes == day.budget or day.note


@given(pinned_weeks())
def test_pins_never_break_the_sum(inputs: WeekInputs) -> None:
    for day in build(inputs).days:
        assert sum(item.minutes for item in day.items) == day.minutes
        assert all(item.minutes >= 1 for item in day.items)
        assert day.minutes in (0, day.budget) or day.note
        assert len({item.key for item in day.items}) == len(day.items)


@given(weeks())
def test_the_opening_stays_short(inputs: WeekInputs) -> None:
    """Stretch and warm-up never take more than is useful while anything else can."""
    for day in build(inputs).days:
        others = [item for item in day.items if item.part not in (Part.STRETCH, Part.WARM_UP)]
        for item in day.items:
            if item.part == Part.STRETCH:
                assert item.minutes <= 4
            if item.part == Part.WARM_UP and any(o.part != Part.RE_WARM_UP for o in others):
                assert item.minutes <= 10


def test_every_day_adds_up_as_a_teacher_would_share_it() -> None:
    assert same_table(
        build(week([18, 19, 20, 21, 22], routine=ONE_SESSION)),
        """
                          Thu  Fri  Sat  Sun  Mon
        After school
          stretch           1    1    1    1    1
          warm_up           2    3    2    3    3
          scale:1           3    5    4    6    5
          etude:1           2    3    3    4    3
          spot:3            2    3    2    3    2
          spot:7            2    .    2    .    2
          run:1             2    .    2    .    2
          favourite:1       2    2    2    2    2
          explore           2    2    2    2    2
        minutes            18   19   20   21   22
        """,
    )
