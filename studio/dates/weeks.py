"""Weeks and months as lists of days; the week may begin on any weekday (Monday is 0)."""

from __future__ import annotations

import datetime as dt

DAYS_IN_WEEK = 7


def week_start(day: dt.date, first: int = 0) -> dt.date:
    """The first day of the week that holds this day."""
    return day - dt.timedelta(days=(day.weekday() - first) % DAYS_IN_WEEK)


def week_of(day: dt.date, first: int = 0) -> list[dt.date]:
    """The seven days of the week that holds this day."""
    start = week_start(day, first)
    return [start + dt.timedelta(days=n) for n in range(DAYS_IN_WEEK)]


def month_weeks(year: int, month: int, first: int = 0) -> list[list[dt.date]]:
    """Whole weeks that cover the month, with the days before and after it."""
    opening = dt.date(year, month, 1)
    weeks = [week_of(opening, first)]
    after = add_months(opening, 1)
    while weeks[-1][-1] + dt.timedelta(days=1) < after:
        weeks.append(week_of(weeks[-1][-1] + dt.timedelta(days=1), first))
    return weeks


def add_months(day: dt.date, months: int) -> dt.date:
    """The first day of the month so many months later."""
    ahead = day.year * 12 + day.month - 1 + months
    return dt.date(ahead // 12, ahead % 12 + 1, 1)


def iso_week_date(day: dt.date) -> str:
    """Week date in the extended form of ISO 8601, such as 2026-W53-4."""
    year, week, weekday = day.isocalendar()
    return f"{year:04}-W{week:02}-{weekday}"


def days_between(first: dt.date, last: dt.date) -> list[dt.date]:
    """Every day from first to last, both included; empty when last lies before first."""
    return [first + dt.timedelta(days=n) for n in range((last - first).days + 1)]
