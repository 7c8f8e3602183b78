"""Where the etude stands on a day, so that it is never away two practice days running."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import zip_longest

from practice.planning import explain, parts
from practice.planning.frames import Frame
from practice.planning.turns import Candidate, Press, Turns
from practice.planning.types import Part


def etude_press(
    frame: Frame, week: Sequence[Frame], found: Sequence[Candidate], turns: Turns
) -> tuple[Press, str]:
    """How it presses today, and the reason if it must come first. Today's minutes have no say."""
    day = frame.number
    later = week[day + 1 :]
    if turns.part_waited(Part.ETUDE, day) > 1:
        before = explain.no_etude_on(week[day - 1].date) if day else explain.LEFT_OUT
        return Press.FIRST, before
    if later and not later[0].holds(Part.ETUDE):
        return Press.FIRST, explain.no_room_for_etude_on(later[0].date)
    if len(week) == 1:
        return Press.FIRST, explain.ONLY_DAY
    without = {each.part for each in found if each.gap} - turns.played_this_week() - {Part.ETUDE}
    turns_later = sum(each.room // parts.TURN for each in later if not each.light)
    spare = turns_later - _fewest(later) - len(without)
    return (Press.MAY if spare >= 0 else Press.CAN_WAIT), ""


def _fewest(later: Sequence[Frame]) -> int:
    """Turns the etude needs on these days at the least, when it has one today."""
    count = 0
    heard = True
    for frame, after in zip_longest(later, later[1:]):
        needed = not heard or (after is not None and not after.holds(Part.ETUDE))
        takes = needed and not frame.light and frame.holds(Part.ETUDE)
        count += takes
        heard = takes or frame.light
    return count
