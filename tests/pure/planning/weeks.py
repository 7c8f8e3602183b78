"""One student's week to write examples with, and plans as tables a teacher can read."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import replace
from textwrap import dedent
from typing import Any

from practice.planning import parts
from practice.planning.types import (
    DayIn,
    DayPlan,
    EtudeIn,
    ExploreIn,
    FavouriteIn,
    Item,
    Part,
    PieceIn,
    Routine,
    ScaleIn,
    SessionIn,
    SpotIn,
    SpotState,
    WeekInputs,
    WeekPlan,
)

THURSDAY = dt.date(2026, 11, 26)
ONE_SESSION = Routine((SessionIn("After school"),))
TWO_SESSIONS = Routine((SessionIn("Before school"), SessionIn("After school")))
THREE_SESSIONS = Routine((SessionIn("Morning"), SessionIn("Noon"), SessionIn("Evening")))
TURN_PARTS = (Part.ETUDE, Part.SPOT, Part.RUN_THROUGH, Part.FAVOURITE, Part.EXPLORE)

MINUET = WeekInputs(
    days=(),
    scale=ScaleIn(1, "G major"),
    etude=EtudeIn(1, "Etude no. 2"),
    pieces=(PieceIn(1, 1, "Minuet"),),
    spots=(
        SpotIn(3, 1, "bar 3", SpotState.TROUBLED, 60, 80, hardness=1),
        SpotIn(7, 1, "bar 7", SpotState.FIRMING, 66, 80, hardness=2),
    ),
    favourites=(FavouriteIn(1, "Ode to Joy"),),
    explore=ExploreIn("Two voices"),
)
MINUET_AND_MARCH = replace(
    MINUET,
    pieces=(PieceIn(1, 1, "Minuet"), PieceIn(2, 2, "March")),
    spots=(*MINUET.spots, SpotIn(5, 2, "bar 5", SpotState.FIRM, 52, 72, hardness=3)),
)


def day(number: int) -> dt.date:
    """The n-th day of the example week, Thursday being 0."""
    return THURSDAY + dt.timedelta(days=number)


def week(minutes: Sequence[int], student: WeekInputs = MINUET, **changes: Any) -> WeekInputs:
    """The student's week from Thursday on; 0 is a day off."""
    days = tuple(DayIn(day(n), budget, off=not budget) for n, budget in enumerate(minutes))
    return replace(student, days=days, **changes)


def table(plan: WeekPlan) -> str:
    """Rows in playing order under their session, columns the days, dots where there is nothing."""
    lines = [f"{'':16}" + "".join(f"{each.date:%a}".rjust(5) for each in plan.days)]
    for number, name in _sessions(plan):
        lines.append(name)
        for key in _rows(plan, number):
            cells = [_minutes(each, number, key) for each in plan.days]
            lines.append(f"  {key:14}" + "".join(cell.rjust(5) for cell in cells))
    lines.append(f"{'minutes':16}" + "".join(str(each.minutes).rjust(5) for each in plan.days))
    return "\n".join(lines)


def same_table(plan: WeekPlan, expected: str) -> bool:
    """Compares after undoing the indentation; on a difference the real table is printed."""
    found = table(plan)
    wanted = dedent(expected).strip("\n")
    if found.split("\n") != [line.rstrip() for line in wanted.split("\n")]:
        print(found)
        return False
    return True


def practice_days(plan: WeekPlan) -> list[DayPlan]:
    return [each for each in plan.days if each.minutes]


def reasons(plan: WeekPlan, key: str) -> list[str]:
    """Per practice day: why the item is there, or why it waits."""
    found = []
    for each in practice_days(plan):
        here = [item.reason for item in each.items if item.key == key]
        away = [waiting.reason for waiting in each.waiting if waiting.key == key]
        found += here or away or [""]
    return found


def turn_items(each: DayPlan) -> list[Item]:
    return [item for item in each.items if item.part in TURN_PARTS]


def turns_of(each: DayPlan, given: DayIn, inputs: WeekInputs) -> int:
    """How many two-minute turns a day without pins has beside opening and re-warm-ups."""
    usual = range(1, len(inputs.routine.sessions) + 1)
    held = [n for n in usual if given.sessions is None or n in given.sessions]
    sessions = max(1, min(len(held), each.minutes // 5))
    opening = 1 + 2 * (inputs.scale is not None) + 1
    return max(0, each.minutes - opening - (sessions - 1)) // 2


def is_light(given: DayIn, inputs: WeekInputs) -> bool:
    """A short lesson day on which the lesson stands in a later session's place."""
    return (
        given.lesson
        and given.sessions is not None
        and 1 in given.sessions
        and len(given.sessions) < len(inputs.routine.sessions)
        and given.minutes <= parts.LIGHT_LESSON_DAY
    )


def days_with_turns(inputs: WeekInputs, plan: WeekPlan) -> Iterator[tuple[DayPlan, int, bool]]:
    """Each practice day, its turns, and whether the lesson holds what takes turns."""
    given = [each for each in inputs.days if each.minutes and not each.off]
    light = [is_light(each, inputs) for each in given]
    other_days = any(not each.lesson for each in given)
    for planned, each, lesson in zip(practice_days(plan), given, light, strict=True):
        heard = lesson and other_days
        yield planned, 0 if heard else turns_of(planned, each, inputs), heard


def _sessions(plan: WeekPlan) -> list[tuple[int, str]]:
    return sorted({(each.number, each.name) for day in plan.days for each in day.sessions})


def _rows(plan: WeekPlan, number: int) -> list[str]:
    """Keys of one session in playing order."""
    items = {
        item.key: item
        for each in plan.days
        for session in each.sessions
        for item in session.items
        if session.number == number
    }
    return sorted(items, key=lambda key: _row_order(items[key]))


def _row_order(item: Item) -> tuple[int, int, int, str]:
    order = 0 if item.part == Part.RE_WARM_UP else parts.PLAYING_ORDER[item.part]
    if item.piece:
        return (parts.PLAYING_ORDER[Part.SPOT], item.piece, order, item.key)
    return (order, 0, 0, item.key)


def _minutes(each: DayPlan, number: int, key: str) -> str:
    for session in each.sessions:
        for item in session.items:
            if session.number == number and item.key == key:
                return str(item.minutes)
    return "." if each.minutes else ""
