"""L1: the parts of a day stand in playing order, spots before their run-through, hardest first."""

from __future__ import annotations

from hypothesis import given

from practice.planning.types import DayPlan, Item, Part, WeekInputs
from practice.planning.versions import build
from tests.pure.planning.strategies import pinned_weeks
from tests.pure.planning.weeks import MINUET_AND_MARCH, TWO_SESSIONS, same_table, week

# What comes before what; the middle goes piece by piece.
BEFORE_PIECES = [Part.STRETCH, Part.WARM_UP, Part.SCALE, Part.ETUDE]
AFTER_PIECES = [Part.FREE, Part.FAVOURITE, Part.EXPLORE]


def place(item: Item) -> tuple[int, int, int]:
    if item.part in BEFORE_PIECES:
        return (BEFORE_PIECES.index(item.part), 0, 0)
    if item.part in AFTER_PIECES:
        return (20 + AFTER_PIECES.index(item.part), 0, 0)
    assert item.piece is not None
    return (10, item.piece, [Part.SPOT, Part.RUN_THROUGH].index(item.part))


def in_order(day: DayPlan) -> bool:
    places = [place(item) for item in day.items if item.part != Part.RE_WARM_UP]
    return places == sorted(places)


@given(pinned_weeks())
def test_every_day_stands_in_playing_order(inputs: WeekInputs) -> None:
    assert all(in_order(day) for day in build(inputs).days)


@given(pinned_weeks())
def test_the_hardest_spot_of_a_piece_comes_first(inputs: WeekInputs) -> None:
    hardness = {f"spot:{spot.id}": spot.hardness for spot in inputs.spots}
    for day in build(inputs).days:
        for piece in (1, 2):
            spots = [
                hardness[item.key]
                for item in day.items
                if item.part == Part.SPOT and item.piece == piece
            ]
            assert spots == sorted(spots)


def test_two_days_as_a_teacher_writes_them() -> None:
    plan = build(week([40, 40], MINUET_AND_MARCH, routine=TWO_SESSIONS))
    assert same_table(
        plan,
        """
                          Thu  Fri
        Before school
          stretch           2    2
          warm_up           4    5
          scale:1           8    9
          etude:1           6    6
          spot:3            4    5
          spot:7            3    .
          run:1             4    .
        After school
          re_warm_up:2      3    3
          spot:5            2    .
          run:2             .    5
          favourite:1       2    3
          explore           2    2
        minutes            40   40
        """,
    )
    assert [item.key for item in plan.days[0].items] == [
        "stretch",
        "warm_up",
        "scale:1",
        "etude:1",
        "spot:3",
        "spot:7",
        "run:1",
        "re_warm_up:2",
        "spot:5",
        "favourite:1",
        "explore",
    ]
