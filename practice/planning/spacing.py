"""When a spot comes back: the firmer it is, the wider the gap, counted in practice days."""

from __future__ import annotations

from practice.planning.types import SpotState

GAPS = {SpotState.TROUBLED: 1, SpotState.FIRMING: 2, SpotState.FIRM: 4}


def first_turn(gap: int, rank: int, days: int) -> int:
    """The practice day (from 0) on which something without a past begins.

    Those of one gap begin one after the other, but all within the week's `days`.
    """
    return rank % max(1, min(gap, days))
