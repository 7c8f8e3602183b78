"""A standing weekly time, and the days it falls on."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass, replace

from studio.dates.weeks import DAYS_IN_WEEK, week_start
from studio.language import gettext as _

Stretch = tuple[dt.date, dt.date]  # first and last day, both included


@dataclass(frozen=True)
class Weekly:
    """Every so many weeks on one weekday (Monday is 0), counted from the first day."""

    weekday: int
    first_day: dt.date
    last_day: dt.date | None = None
    every_weeks: int = 1

    def __post_init__(self) -> None:
        if not 0 <= self.weekday < DAYS_IN_WEEK:
            raise ValueError(f"{self.weekday} is no weekday: Monday is 0 and Sunday is 6.")
        if self.every_weeks < 1:
            raise ValueError(f"Every {self.every_weeks} weeks is not possible: 1 is the least.")
        if self.last_day is not None and self.last_day < self.first_day:
            said = _("The last day {last} lies before {first}.")
            raise ValueError(said.format(last=self.last_day, first=self.first_day))

    @property
    def anchor(self) -> dt.date:
        """The first day it falls on; later ones are counted from here."""
        ahead = (self.weekday - self.first_day.weekday()) % DAYS_IN_WEEK
        return self.first_day + dt.timedelta(days=ahead)

    def days(self, starts: dt.date, ends: dt.date, closed: Iterable[Stretch] = ()) -> list[dt.date]:
        """Days from starts to ends on which it takes place.

        A closed day drops out; it does not shift the turn of a fortnightly time.
        """
        shut = list(closed)
        last = ends if self.last_day is None else min(ends, self.last_day)
        step = dt.timedelta(weeks=self.every_weeks)
        day = self.anchor
        if day < starts:
            day += step * -((starts - day) // -step)
        found = []
        while day <= last:
            if not any(first <= day <= final for first, final in shut):
                found.append(day)
            day += step
        return found


def change_from(old: Weekly, new: Weekly, day: dt.date) -> Weekly:
    """The new time from a day on. While the step in weeks stays, the turn stays too."""
    if new.every_weeks != old.every_weeks:
        return replace(new, first_day=day)
    candidate = replace(new, first_day=day)
    while (_week(candidate.anchor) - _week(old.anchor)) % new.every_weeks:
        candidate = replace(candidate, first_day=candidate.first_day + dt.timedelta(weeks=1))
    return candidate


def _week(day: dt.date) -> int:
    return week_start(day).toordinal() // DAYS_IN_WEEK
