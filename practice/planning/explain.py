"""Why an item is here today, and why another one waits: one short sentence each."""

from __future__ import annotations

import datetime as dt

from practice.planning import parts
from practice.planning.turns import Candidate
from practice.planning.types import DayIn, FreeItem, Part, SpotState

WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")

EVERY_DAY = {
    Part.STRETCH: "Every day, before the violin is out of its case.",
    Part.WARM_UP: "Every day, before the scale.",
    Part.SCALE: "Every day, until the hands run by themselves in this key.",
}
PINNED = "You put it on this day."
FREE = "You wrote it for this day."
RE_WARM_UP = "Every later session opens with one."
NO_ROOM = "No room today: it waits for its turn."
AT_THE_LESSON = "Today's lesson holds it."
FORBIDDEN = "You left it out on this day."
LEFT_OUT = "Left out last week, so it comes first."

_STATES = {
    SpotState.TROUBLED: "troubled, so every day",
    SpotState.FIRMING: "firming up, so every second day",
    SpotState.FIRM: "firm, so every fourth day",
}
_EVERY = {1: "every day", 2: "every second day", 3: "every third day", 4: "every fourth day"}


def here(
    each: Candidate, left_out: bool, overdue: int, etude_first: bool, before: dt.date | None
) -> str:
    """Why this candidate has its turn; `before` is the practice day before, if any."""
    if left_out and each.part != Part.FAVOURITE:
        return LEFT_OUT
    if each.part == Part.ETUDE:
        if etude_first and before:
            return f"No etude on {weekday(before)}, so it comes first."
        return "Every day there is room for it."
    if each.part == Part.FAVOURITE:
        return "The favourite unplayed the longest; it ends the day well."
    if each.part == Part.EXPLORE:
        return "No goal, no tempo, no tick owed."
    if each.part == Part.SPOT and each.state:
        waited = ", and it has waited" if overdue > 0 else ""
        return f"Spot in {each.title}: {_STATES[each.state]}{waited}."
    return f"Run-through of {each.title} {_EVERY.get(each.gap, f'every {each.gap} days')}."


def not_due(each: Candidate) -> str:
    if each.part == Part.SPOT and each.state:
        return f"Spot in {each.title}: {_STATES[each.state]}; not today."
    return f"Run-through {_EVERY.get(each.gap, f'every {each.gap} days')}; not today."


def no_room(each: Candidate, before: dt.date | None, had_turn_before: bool) -> str:
    if had_turn_before and before:
        return (
            f"{each.part.value.replace('_', '-').capitalize()} had its turn on {weekday(before)}."
        )
    return NO_ROOM


def weekday(day: dt.date) -> str:
    return WEEKDAYS[day.weekday()]


def no_minute_for(part: Part, day: DayIn) -> str:
    return f"{weekday(day.date)} has {_minutes(day.minutes)}: too few for the {parts.NAMES[part]}."


def pin_does_not_fit(title: str, day: DayIn) -> str:
    return (
        f"{title} is put on {weekday(day.date)}, but {_minutes(day.minutes)} have no room for it."
    )


def free_too_long(free: FreeItem, day: DayIn, minutes: int) -> str:
    left = f"it gets {minutes}" if minutes else "it has no room"
    return (
        f"“{free.text}” is to have {_minutes(free.minutes)} on {weekday(day.date)},"
        f" which has {_minutes(day.minutes)}: {left}."
    )


def _minutes(count: int) -> str:
    return "1 minute" if count == 1 else f"{count} minutes"
