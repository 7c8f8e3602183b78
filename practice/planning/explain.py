"""Why an item is here today, why another one waits, and what could not be kept."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

from practice.planning import parts
from practice.planning.turns import Candidate, Turns
from practice.planning.types import DayIn, FreeItem, Part, SpotState
from practice.planning.words import listed, minutes_of, weekday

if TYPE_CHECKING:
    from practice.planning.frames import Frame

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
    if each.part == Part.SPOT:
        waited = " It has waited for room." if overdue > 0 else ""
        return f"{_gap(each)}.{waited}"
    return f"{_gap(each)}, after its spots."


def no_etude_on(date: dt.date) -> str:
    return f"No etude on {weekday(date)}, so it comes first."


def no_room_for_etude_on(date: dt.date) -> str:
    return f"No room for it on {weekday(date)}, so it comes first today."


def not_due(each: Candidate) -> str:
    return f"{_gap(each)}; not today."


def no_room(each: Candidate, had_turn_on: dt.date | None) -> str:
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
        f"The {parts.NAMES[part]} is to have {minutes_of(fixed)}, but gets"
        f" {minutes_of(given)} on {weekday(date)}."
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


def etude_away(found: Sequence[Candidate], week: Sequence[Frame]) -> list[str]:
    """A sentence for each two practice days running without an etude, if one is in hand."""
    if all(each.part != Part.ETUDE for each in found):
        return []
    return [
        f"No etude on {weekday(one.date)} and {weekday(two.date)}: {_why_no_etude(one, two)}."
        for one, two in pairwise(week)
        if not any(frame.light or frame.has(Part.ETUDE) for frame in (one, two))
    ]


def _why_no_etude(one: Frame, two: Frame) -> str:
    barred = [Part.ETUDE in frame.forbidden for frame in (one, two)]
    if all(barred):
        return "you left it out"
    return "you left it out, and the other day has no room" if any(barred) else "no room for it"


def without_a_turn(found: Sequence[Candidate], turns: Turns, week: Sequence[Frame]) -> list[str]:
    """A sentence for the parts that wanted a turn and had none all week."""
    missing = {
        each.part
        for each in found
        if each.part not in turns.played_this_week()
        and each.part != Part.EXPLORE
        and any(turns.is_due(each, f.number) and each.part not in f.forbidden for f in week)
    }
    names = [parts.NAMES[part] for part in Part if part in missing]
    return [f"This week has no room for {listed(names)}."] if names else []
