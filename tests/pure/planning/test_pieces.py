"""L3: at most two pieces, and never both in one session of a day that has several."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given

from practice.planning.types import PieceIn, WeekInputs
from practice.planning.versions import build
from tests.pure.planning.strategies import pinned_weeks
from tests.pure.planning.weeks import MINUET_AND_MARCH, THREE_SESSIONS, same_table, week


@given(pinned_weeks())
def test_sessions_keep_the_pieces_apart(inputs: WeekInputs) -> None:
    for day in build(inputs).days:
        found = [{item.piece for item in session.items} - {None} for session in day.sessions]
        assert len(set().union(*found)) <= 2
        if len(day.sessions) > 1:
            assert all(len(pieces) <= 1 for pieces in found)


def test_a_third_piece_is_named_and_left_out() -> None:
    third = PieceIn(3, 2, "Gavotte")
    inputs = week([30], MINUET_AND_MARCH, pieces=(*MINUET_AND_MARCH.pieces, third))
    plan = build(inputs)
    assert "Place 2 is taken twice: Gavotte is left out." in plan.unmet
    assert "run:3" not in {item.key for day in plan.days for item in day.items}


def test_three_sessions_hold_a_piece_each_after_the_opening() -> None:
    assert same_table(
        build(week([45, 45], MINUET_AND_MARCH, routine=THREE_SESSIONS)),
        """
                          Thu  Fri
        Morning
          stretch           2    2
          warm_up           5    5
          scale:1           9   10
        Noon
          re_warm_up:2      3    3
          etude:1           6    6
          spot:3            4    5
          spot:7            3    .
          run:1             4    .
        Evening
          re_warm_up:3      3    3
          spot:5            2    .
          run:2             .    5
          favourite:1       2    3
          explore           2    3
        minutes            45   45
        """,
    )


def test_two_pieces_share_a_day_of_one_session() -> None:
    inputs = week([60], replace(MINUET_AND_MARCH, explore=None))
    keys = [item.key for item in build(inputs).days[0].items]
    assert keys[4:] == ["spot:3", "spot:7", "run:1", "spot:5", "run:2", "favourite:1"]
