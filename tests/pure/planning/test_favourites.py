"""L11: favourites take turns, the longest unplayed first."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

from hypothesis import given

from practice.planning.types import FavouriteIn, Part, WeekInputs
from practice.planning.versions import build
from tests.pure.planning.strategies import weeks
from tests.pure.planning.weeks import day, same_table, week


@given(weeks())
def test_the_longest_unplayed_comes_first(inputs: WeekInputs) -> None:
    last = {f"favourite:{each.id}": each.last_played for each in inputs.favourites}
    for planned in build(inputs).days:
        played = [item.key for item in planned.items if item.part == Part.FAVOURITE]
        assert len(played) <= 1
        for key in played:
            assert (last[key] or dt.date.min) == min(each or dt.date.min for each in last.values())
            last[key] = planned.date


def test_three_favourites_over_six_days() -> None:
    favourites = (
        FavouriteIn(1, "Ode to Joy", day(-3)),
        FavouriteIn(2, "The Lark", day(-20)),
        FavouriteIn(3, "Reel"),
    )
    plan = build(week([20] * 6, favourites=favourites, explore=None, etude=None))
    assert same_table(
        plan,
        """
                          Thu  Fri  Sat  Sun  Mon  Tue
        After school
          stretch           1    2    1    2    1    2
          warm_up           3    4    3    4    3    4
          scale:1           6    8    6    8    6    8
          spot:3            3    4    3    4    3    4
          spot:7            2    .    2    .    2    .
          run:1             3    .    3    .    3    .
          favourite:1       .    .    2    .    .    2
          favourite:2       .    2    .    .    2    .
          favourite:3       2    .    .    2    .    .
        minutes            20   20   20   20   20   20
        """,
    )


def test_favourites_that_nobody_logs_take_turns_week_by_week() -> None:
    favourites = tuple(FavouriteIn(n, f"Favourite {n}") for n in range(4))
    first = []
    for n in range(8):
        inputs = week([8] * 2, favourites=favourites)
        days = tuple(
            replace(each, date=each.date + dt.timedelta(days=7 * n)) for each in inputs.days
        )
        found = [
            item.key
            for planned in build(replace(inputs, days=days)).days
            for item in planned.items
            if item.part == Part.FAVOURITE
        ]
        first += found
    assert sorted(first) == sorted(f"favourite:{n % 4}" for n in range(8))
