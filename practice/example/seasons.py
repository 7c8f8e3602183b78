"""Terms, closures and teaching days around a day: always half way through a term.

A term has thirteen weeks, two free weeks follow it. Today lies in the seventh week.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from studio.dates.recurrence import Stretch
from studio.dates.weeks import week_start

TERM_WEEKS: Final = 13
CYCLE_WEEKS: Final = 15
WEEKS_GONE: Final = 6
BREAK_WEEK: Final = 6  # of a past term, counted from 0
TEACHING_DAYS: Final = "ABCDE"
AROUND: Final = dt.timedelta(days=9)
NAMES: Final = ("Winter", "Spring", "Summer", "Autumn")


@dataclass(frozen=True)
class Named:
    """A term or a closure; both days belong to it."""

    name: str
    starts: dt.date
    ends: dt.date

    @property
    def stretch(self) -> Stretch:
        return self.starts, self.ends


@dataclass(frozen=True)
class Year:
    """`first_week` is the first week of the earliest term, counted from this week."""

    today: dt.date
    terms: tuple[Named, ...]
    closures: tuple[Named, ...]
    first_week: int

    def day(self, week: int, letter: str) -> dt.date:
        """The date of a teaching day in a week."""
        return week_start(self.today) + dt.timedelta(weeks=week, days=self.weekday(letter))

    def weekday(self, letter: str) -> int:
        return teaching_weekdays(self.today)[letter]

    def week_of(self, day: dt.date) -> int:
        return (week_start(day) - week_start(self.today)).days // 7


def year_around(today: dt.date, past_terms: int = 1) -> Year:
    """The term of today and so many terms before it."""
    terms = [_term(today, back) for back in range(past_terms, -1, -1)]
    return Year(
        today=today,
        terms=tuple(terms),
        closures=tuple(_closures(today, past_terms)),
        first_week=-WEEKS_GONE - CYCLE_WEEKS * past_terms,
    )


def teaching_weekdays(today: dt.date) -> dict[str, int]:
    """A is today's weekday; B to E follow it among the other days from Monday to Friday."""
    first = today.weekday()
    others = [day % 7 for day in range(first + 1, first + 7) if day % 7 < 5]
    return dict(zip(TEACHING_DAYS, [first, *others[:4]], strict=True))


def _term(today: dt.date, back: int) -> Named:
    starts = week_start(today) - dt.timedelta(weeks=WEEKS_GONE + CYCLE_WEEKS * back)
    ends = starts + dt.timedelta(weeks=TERM_WEEKS, days=-1)
    return Named(f"{_season(starts + (ends - starts) / 2)} term", starts, ends)


def _season(middle: dt.date) -> str:
    """ "Autumn 2026"; a winter has both its years."""
    name = NAMES[middle.month % 12 // 3]
    if name != "Winter":
        return f"{name} {middle.year}"
    first = middle.year if middle.month == 12 else middle.year - 1
    return f"{name} {first}/{(first + 1) % 100:02}"


def _closures(today: dt.date, past_terms: int) -> Iterator[Named]:
    monday = week_start(today)
    for back in range(past_terms, 0, -1):
        starts = monday - dt.timedelta(weeks=WEEKS_GONE + CYCLE_WEEKS * back - BREAK_WEEK)
        yield Named("Half-term", starts, starts + dt.timedelta(days=6))
    orchestra = monday + dt.timedelta(weeks=-5, days=teaching_weekdays(today)["B"])
    yield Named("Children’s orchestra day", orchestra, orchestra)
    weekend = monday + dt.timedelta(weeks=3, days=3)
    yield Named("Long weekend", weekend, weekend + dt.timedelta(days=3))
    earliest = monday - dt.timedelta(weeks=WEEKS_GONE + CYCLE_WEEKS * past_terms)
    for year in range(earliest.year, today.year + 1):
        first, last = dt.date(year, 12, 24), dt.date(year + 1, 1, 1)
        # The days around today stay full of lessons, whatever the season.
        if not first - AROUND <= today <= last + AROUND:
            yield Named("Christmas and New Year", first, last)
