"""L9: spots come back at gaps that widen as they firm up."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest
from hypothesis import given

from practice.planning.types import SpotIn, SpotState, WeekInputs
from practice.planning.versions import build
from tests.pure.planning.strategies import weeks
from tests.pure.planning.weeks import (
    MINUET,
    THURSDAY,
    days_with_turns,
    practice_days,
    reasons,
    same_table,
    turn_items,
    week,
)

TROUBLED, FIRMING, FIRM = SpotState


@pytest.mark.parametrize(
    ("state", "days_ago", "turns"),
    [
        (TROUBLED, None, "1111111"),
        (TROUBLED, 1, "1111111"),
        (FIRMING, None, "1010101"),
        (FIRMING, 1, "0101010"),
        (FIRMING, 2, "1010101"),
        (FIRM, None, "1000100"),
        (FIRM, 1, "0001000"),
        (FIRM, 2, "0010001"),
        (FIRM, 30, "1000100"),
    ],
)
def test_known_sequences(state: SpotState, days_ago: int | None, turns: str) -> None:
    """1 is a practice day with the spot; `days_ago` is its last turn, counted from the first."""
    last = None if days_ago is None else THURSDAY - dt.timedelta(days=days_ago)
    plan = build(week([30] * 7, spots=(SpotIn(1, 1, "bar 1", state, last_practised=last),)))
    here = ["spot:1" in {item.key for item in planned.items} for planned in plan.days]
    assert "".join("1" if each else "0" for each in here) == turns


def test_the_gap_counts_practice_days_not_days_off() -> None:
    plan = build(week([30, 0, 0, 30, 30], spots=(SpotIn(1, 1, "bar 1", FIRMING),)))
    here = ["spot:1" in {item.key for item in planned.items} for planned in plan.days]
    assert here == [True, False, False, False, True]


def test_firm_spots_without_a_past_all_have_a_turn_in_a_short_week() -> None:
    spots = tuple(SpotIn(n, 1, f"bar {n}", FIRM) for n in range(1, 5))
    plan = build(week([40, 40], spots=spots))
    played = [{item.key for item in planned.items} for planned in plan.days]
    assert {"spot:1", "spot:3"} <= played[0]
    assert {"spot:2", "spot:4"} <= played[1]


@given(weeks())
def test_a_spot_stands_where_it_is_due_and_waits_only_for_room(inputs: WeekInputs) -> None:
    plan = build(inputs)
    first = next((each.date for each in practice_days(plan)), THURSDAY)
    open_days = sum(not lesson for _, _, lesson in days_with_turns(inputs, plan))
    last = {}
    seen: dict[SpotState, int] = {}
    for spot in sorted(inputs.spots, key=lambda spot: (spot.hardness, spot.piece, spot.id)):
        gap = {TROUBLED: 1, FIRMING: 2, FIRM: 4}[spot.state]
        turn = seen.get(spot.state, 0)
        seen[spot.state] = turn + 1
        last[spot.id] = turn % max(1, min(gap, open_days)) - gap
        if spot.last_practised:
            last[spot.id] = -(first - spot.last_practised).days
    for number, (planned, turns, lesson) in enumerate(days_with_turns(inputs, plan)):
        full = len(turn_items(planned)) == turns
        here = {item.key for item in planned.items}
        for spot in inputs.spots:
            key = f"spot:{spot.id}"
            gap = {TROUBLED: 1, FIRMING: 2, FIRM: 4}[spot.state]
            again = key in inputs.history.left_out and last[spot.id] < 0
            due = number - last[spot.id] >= gap or again
            if key in here:
                assert due
                last[spot.id] = number
            else:
                assert not due or full or lesson


def test_a_week_of_four_spots() -> None:
    spots = (
        SpotIn(1, 1, "bar 1", TROUBLED),
        SpotIn(2, 1, "bar 2", FIRMING),
        SpotIn(3, 1, "bar 3", FIRM),
        SpotIn(4, 1, "bars 4 to 6", FIRM),
    )
    plan = build(week([20] * 7, spots=spots))
    assert same_table(
        plan,
        """
                          Thu  Fri  Sat  Sun  Mon  Tue  Wed
        After school
          stretch           1    1    1    1    1    1    1
          warm_up           2    3    2    3    2    3    2
          scale:1           3    5    4    5    3    5    4
          etude:1           2    3    3    4    2    3    3
          spot:1            2    2    2    3    2    2    2
          spot:2            2    .    2    .    2    .    2
          spot:3            2    .    .    .    2    .    .
          spot:4            .    2    .    .    .    2    .
          run:1             2    .    2    .    2    .    2
          favourite:1       2    2    2    2    2    2    2
          explore           2    2    2    2    2    2    2
        minutes            20   20   20   20   20   20   20
        """,
    )
    assert reasons(plan, "spot:2")[:2] == [
        "Spot in bar 2: firming up, so every second day.",
        "Spot in bar 2: firming up, so every second day; not today.",
    ]


def test_a_due_spot_without_room_waits_and_says_so() -> None:
    plan = build(week([8, 8, 8], replace(MINUET, favourites=(), explore=None)))
    assert reasons(plan, "spot:7") == [
        "No room today; it waits for its turn.",
        "Spot in bar 7: firming up, so every second day. It has waited.",
        "Spot in bar 7: firming up, so every second day; not today.",
    ]
