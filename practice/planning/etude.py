"""When the etude must lead, so that it is never away two practice days running."""

from __future__ import annotations

from collections.abc import Sequence

from practice.planning import explain
from practice.planning.frames import Frame
from practice.planning.turns import Turns
from practice.planning.types import Part


def why_etude_leads(frame: Frame, week: Sequence[Frame], turns: Turns) -> str:
    """The reason, or nothing. Of the days to come it asks only whether the next has a turn."""
    day = frame.number
    if turns.part_waited(Part.ETUDE, day) > 1:
        return explain.no_etude_on(week[day - 1].date) if day else explain.left_out()
    if len(week) == 1:
        return explain.only_day()
    if day + 1 < len(week) and not week[day + 1].holds(Part.ETUDE):
        return explain.no_room_for_etude_on(week[day + 1].date)
    return ""
