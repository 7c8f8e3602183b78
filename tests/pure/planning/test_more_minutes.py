"""L7: more minutes on a day never take anything away, and one more changes little."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from practice.planning.types import DayPlan, WeekInputs
from practice.planning.versions import build
from practice.planning.what_if import what_if
from tests.pure.planning.strategies import pinned_weeks, weeks
from tests.pure.planning.weeks import same_table, week


def grown(inputs: WeekInputs, pick: int, more: int) -> tuple[DayPlan, DayPlan] | None:
    """The same practice day as it is and with `more` minutes, all other days unchanged."""
    days = [n for n, each in enumerate(inputs.days) if each.minutes and not each.off]
    if not days:
        return None
    n = days[pick % len(days)]
    given_day = inputs.days[n]
    after = what_if(inputs, {given_day.date: given_day.minutes + more})
    return build(inputs).days[n], after.days[n]


def minutes(planned: DayPlan) -> dict[str, int]:
    return {item.key: item.minutes for item in planned.items if "re_warm_up" not in item.key}


@given(pinned_weeks(), st.integers(0, 6), st.integers(1, 60))
def test_more_minutes_remove_nothing_from_the_day(inputs: WeekInputs, pick: int, more: int) -> None:
    found = grown(inputs, pick, more)
    if found:
        before, after = found
        assert minutes(before).keys() <= minutes(after).keys()
        assert len(before.sessions) <= len(after.sessions)


@given(weeks(), st.integers(0, 6))
def test_one_more_minute_changes_an_item_by_at_most_one(inputs: WeekInputs, pick: int) -> None:
    found = grown(inputs, pick, 1)
    if not found:
        return
    before, after = ({item.key: item.minutes for item in each.items} for each in found)
    changes = {key: after[key] - before[key] for key in before.keys() & after.keys()}
    newcomers = sum(after[key] for key in after.keys() - before.keys())
    assert all(change <= 1 for change in changes.values())
    if not newcomers:
        assert all(change >= -1 for change in changes.values())
    assert all(change >= -newcomers - 1 for change in changes.values())


@given(weeks(), st.integers(1, 40))
def test_a_day_with_room_for_all_keeps_all_when_the_week_grows(
    inputs: WeekInputs, more: int
) -> None:
    """Where nobody waits for room, turns cannot move from one day to another."""
    before = build(inputs)
    if any("not today" not in w.reason for each in before.days for w in each.waiting):
        return
    after = what_if(
        inputs,
        {each.date: each.minutes + more for each in inputs.days if each.minutes and not each.off},
    )
    for one, two in zip(before.days, after.days, strict=True):
        assert minutes(one).keys() <= minutes(two).keys()


def test_a_day_grows_minute_by_minute() -> None:
    """Seven Thursdays side by side: each column is a week of its own."""
    columns = [build(week([budget])).days[0] for budget in range(8, 15)]
    side_by_side = replace(
        build(week([8])),
        days=tuple(
            replace(each, date=each.date.replace(month=6, day=n + 1))
            for n, each in enumerate(columns)
        ),
    )
    assert same_table(
        side_by_side,
        """
                          Mon  Tue  Wed  Thu  Fri  Sat  Sun
        After school
          stretch           1    1    1    1    1    1    1
          warm_up           1    1    1    1    1    1    1
          scale:1           2    3    2    3    2    3    2
          etude:1           2    2    2    2    2    2    2
          spot:3            2    2    2    2    2    2    2
          run:1             .    .    2    2    2    2    2
          favourite:1       .    .    .    .    2    2    2
          explore           .    .    .    .    .    .    2
        minutes             8    9   10   11   12   13   14
        """,
    )
