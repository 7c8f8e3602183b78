"""L5: the organised part of a day ends with a favourite; only explore comes after it."""

from __future__ import annotations

from hypothesis import given

from practice.planning.types import Part, WeekInputs
from practice.planning.versions import build
from tests.pure.planning.strategies import pinned_weeks, weeks
from tests.pure.planning.weeks import days_with_turns, same_table, turn_items, week


@given(pinned_weeks())
def test_nothing_but_explore_follows_the_favourite(inputs: WeekInputs) -> None:
    for day in build(inputs).days:
        parts = [item.part for item in day.items]
        if Part.FAVOURITE in parts:
            after = parts[parts.index(Part.FAVOURITE) :]
            assert set(after) <= {Part.FAVOURITE, Part.EXPLORE}


@given(weeks())
def test_a_favourite_is_missing_only_where_every_turn_is_taken(inputs: WeekInputs) -> None:
    if not inputs.favourites:
        return
    plan = build(inputs)
    for day, turns, lesson in days_with_turns(inputs, plan):
        if all(item.part != Part.FAVOURITE for item in day.items) and not lesson:
            assert len(turn_items(day)) == turns


def test_from_no_room_to_room_for_all() -> None:
    assert same_table(
        build(week([8, 20, 30])),
        """
                          Thu  Fri  Sat
        After school
          stretch           1    1    1
          warm_up           1    3    4
          scale:1           2    5    8
          etude:1           .    3    5
          spot:3            2    2    4
          spot:7            .    2    .
          run:1             2    .    4
          favourite:1       .    2    2
          explore           .    2    2
        minutes             8   20   30
        """,
    )
