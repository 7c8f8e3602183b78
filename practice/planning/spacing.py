"""When a spot comes back: the firmer it is, the wider the gap, counted in practice days."""

from __future__ import annotations

from practice.planning.types import SpotState

GAPS = {SpotState.TROUBLED: 1, SpotState.FIRMING: 2, SpotState.FIRM: 4}


def is_due(gap: int, last: int, day: int) -> bool:
    """Days are numbered practice days; `last` may be negative, from before the week."""
    return day - last >= gap


def first_last(gap: int, rank: int) -> int:
    """Where to start counting a spot never practised yet: spots of one gap take turns to begin."""
    return rank % gap - gap


def due_days(gap: int, days: int, last: int | None = None) -> list[int]:
    """The practice days, numbered from 0, on which something with this gap has its turn."""
    last = -gap if last is None else last
    turns = []
    for day in range(days):
        if is_due(gap, last, day):
            turns.append(day)
            last = day
    return turns
