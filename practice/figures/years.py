"""A studio's year: a calendar year, or a school year from August to July. Common practice, no
source; where schools begin in January the two are the same."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from practice.figures.term_weeks import Stretch
from studio.language import gettext as _

SCHOOL_BEGINS = 8  # August
MONTHS = 12
FIRST_YEAR, LAST_YEAR = 1990, 2199


@dataclass(frozen=True)
class StudioYear:
    """Twelve months from the first of one; `school` tells which kind."""

    first: dt.date
    school: bool

    @property
    def last(self) -> dt.date:
        return _months_on(self.first, MONTHS) - dt.timedelta(days=1)

    @property
    def year(self) -> int:
        """The year in which it begins."""
        return self.first.year

    @property
    def name(self) -> str:
        """ "School year 2026/27", "Year 2026"."""
        if self.school:
            years = f"{self.year}/{(self.year + 1) % 100:02}"
            return _("School year {years}").format(years=years)
        return _("Year {year}").format(year=self.year)

    @property
    def months(self) -> tuple[Stretch, ...]:
        """The twelve months, numbered from 1."""
        starts = [_months_on(self.first, number) for number in range(MONTHS + 1)]
        return tuple(
            Stretch(number, begins, following - dt.timedelta(days=1))
            for number, (begins, following) in enumerate(zip(starts, starts[1:], strict=False), 1)
        )


def calendar_year(year: int) -> StudioYear:
    return StudioYear(dt.date(year, 1, 1), school=False)


def school_year(year: int) -> StudioYear:
    return StudioYear(dt.date(year, SCHOOL_BEGINS, 1), school=True)


def school_year_of(day: dt.date) -> StudioYear:
    """The school year in which the day lies."""
    return school_year(day.year if day.month >= SCHOOL_BEGINS else day.year - 1)


def _months_on(first: dt.date, months: int) -> dt.date:
    years, month = divmod(first.month - 1 + months, MONTHS)
    return dt.date(first.year + years, month + 1, 1)
