"""Why an item is here today, why another one waits, and what a day could not hold."""

from __future__ import annotations

import datetime as dt

from practice.planning import parts
from practice.planning.turns import Candidate
from practice.planning.types import DayIn, FreeItem, Part, SpotState
from practice.planning.words import minutes_of, weekday

EVERY_DAY = {
    Part.STRETCH: "Every day, before the violin is out of its case.",
    Part.WARM_UP: "Every day, before the scale.",
    Part.SCALE: "Every day, until the hands run by themselves in this key.",
}
PINNED = "You put it on this day."
FREE = "You wrote it for this day."
RE_WARM_UP = "Every later session opens with one."
AT_THE_LESSON = "Today's lesson holds it."
FORBIDDEN = "You left it out on this day."
ONLY_DAY = "The only practice day of the week, so it comes first."
LEFT_OUT = "Left out last week, so it comes first."

_STATES = {
    SpotState.TROUBLED: "troubled, so every day",
    SpotState.FIRMING: "firming up, so every second day",
    SpotState.FIRM: "firm, so every fourth day",
}
_EVERY = {1: "every day", 2: "every second day", 3: "every third day", 4: "every fourth day"}


def here(each: Candidate, left_out: bool, overdue: int, etude_is_urgent: str) -> str:
    """Why this candidate has its turn."""
    if left_out and each.part != Part.FAVOURITE:
        return LEFT_OUT
    if each.part == Part.ETUDE:
        return etude_is_urgent or "Every day that has room for it."
    if each.part == Part.FAVOURITE:
        return "The favourite unplayed the longest ends the day."
    if each.part == Part.EXPLORE:
        return "No goal, no tempo, no tick owed."
    waited = " It has waited." if overdue > 0 else ""
    return f"{_gap(each)}.{waited}"


def no_etude_on(date: dt.date) -> str:
    return f"No etude on {weekday(date)}, so it comes first."


def no_room_for_etude_on(date: dt.date) -> str:
    return f"No room for it on {weekday(date)}, so it comes first today."


def not_due(each: Candidate) -> str:
    return f"{_gap(each)}; not today."


def no_room(each: Candidate, had_turn_on: dt.date | None) -> str:
    if each.part == Part.ETUDE and not had_turn_on:
        return "Others go first today; the etude leads next time."
    if had_turn_on:
        return f"{parts.ONE[each.part].capitalize()} had its turn on {weekday(had_turn_on)}."
    return "No room today; it waits for its turn."


def _gap(each: Candidate) -> str:
    """ "Spot in bar 7: firming up, so every second day"."""
    if each.state:
        return f"Spot in {each.title}: {_STATES[each.state]}"
    return f"Run-through {_EVERY.get(each.gap, f'every {each.gap} days')}"


def no_minute_for(part: Part, day: DayIn) -> str:
    return (
        f"{weekday(day.date)} has {minutes_of(day.minutes)}, too few for warm-up and scale:"
        f" no {parts.NAMES[part]} that day."
    )


def nothing_to_play(day: DayIn) -> str:
    return f"{weekday(day.date)} has {minutes_of(day.minutes)} and nothing to play."


def pin_does_not_fit(each: Candidate, day: DayIn) -> str:
    title = f"The spot in {each.title}" if each.part == Part.SPOT else each.title
    return (
        f"{title} is put on {weekday(day.date)}, but {minutes_of(day.minutes)}"
        " leave no room for it."
    )


def fixed_does_not_fit(part: Part, fixed: int, given: int, date: dt.date) -> str:
    return (
        f"You fixed {minutes_of(fixed)} for the {parts.NAMES[part]};"
        f" {weekday(date)} has room for {given}."
    )


def free_too_long(free: FreeItem, day: DayIn, minutes: int) -> str:
    left = f"it gets {minutes_of(minutes)}" if minutes else "there is no room for it"
    return (
        f"“{free.text}” is to have {minutes_of(free.minutes)} on {weekday(day.date)},"
        f" which has {minutes_of(day.minutes)}: {left}."
    )


def rest_goes_to(title: str, date: dt.date) -> str:
    return f"{weekday(date)} has more minutes than its parts may take: {title} gets the rest."


def coming_back(budget: int, minutes: int) -> str:
    """The note of a day made shorter after a week off; nothing on any other day."""
    if minutes == budget:
        return ""
    return f"Coming back after a week off: {minutes} instead of {minutes_of(budget)}."
