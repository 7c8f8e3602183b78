"""Rests inside a session, growth from week to week, and coming back after days off."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence

from practice.planning.types import DayIn, History, Logged, Rest, Routine
from studio.language import ngettext

WEEKS_REMEMBERED = 4
WEEK_OFF = 7
# Percent of the budget on the first and second day after a week off: a habit, no medical figure.
DAYS_BACK = (60, 80)


def rests(minutes: int, routine: Routine) -> tuple[Rest, ...]:
    """After every `rest_after` minutes of practice, unless the session ends there."""
    count = (minutes - 1) // routine.rest_after
    step = routine.rest_after + routine.rest_minutes
    return tuple(
        Rest(routine.rest_after + n * step, routine.rest_minutes) for n in range(max(0, count))
    )


def weekly_minutes(logged: Iterable[Logged], first: dt.date) -> list[int | None]:
    """Minutes of the four weeks before `first`, latest last; None for a week without a log."""
    weeks: list[int | None] = [None] * WEEKS_REMEMBERED
    for entry in logged:
        back = (first - entry.date).days
        if 1 <= back <= WEEKS_REMEMBERED * 7:
            week = WEEKS_REMEMBERED - 1 - (back - 1) // 7
            weeks[week] = (weeks[week] or 0) + entry.minutes
    return weeks


def growth_caution(minutes: int, history: History, first: dt.date, limit_percent: int) -> str:
    """A sentence with the numbers when the week outgrows the teacher's limit, else nothing."""
    known = [week for week in weekly_minutes(history.logged, first) if week]
    if not known or minutes * len(known) * 100 <= sum(known) * (100 + limit_percent):
        return ""
    mean = sum(known) / len(known)
    said = ngettext(
        "{minutes} minutes this week are {more}% more than the mean of the last logged week"
        " ({mean}); your limit is {limit}%.",
        "{minutes} minutes this week are {more}% more than the mean of the last {n} logged weeks"
        " ({mean}); your limit is {limit}%.",
        len(known),
    )
    more = f"{minutes / mean - 1:.0%}".removesuffix("%")
    return said.format(
        minutes=minutes, more=more, n=len(known), mean=f"{mean:.0f}", limit=limit_percent
    )


def days_off_before(days: Sequence[DayIn], history: History) -> int:
    """How many days in a row were off just before the first practice day of the week."""
    off = set(history.days_off) | {day.date for day in days if day.off}
    first = next((day.date for day in days if not day.off and day.minutes), None)
    count = 0
    while first is not None and first - dt.timedelta(days=count + 1) in off:
        count += 1
    return count


def eased(minutes: int, practice_day: int, days_off: int) -> int:
    """Minutes on the n-th practice day (from 0) after so many days off; never below one."""
    if days_off < WEEK_OFF or practice_day >= len(DAYS_BACK):
        return minutes
    return -(-minutes * DAYS_BACK[practice_day] // 100)
