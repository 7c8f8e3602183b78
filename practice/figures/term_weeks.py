"""A term's weeks, and the minutes of each by what they went into."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum

from studio.dates.weeks import DAYS_IN_WEEK, week_start
from studio.language import gettext as _
from studio.language import gettext_noop, pgettext


class Into(StrEnum):
    """What minutes went into, in playing order: the six fills of the chart."""

    WARM_UP = gettext_noop("warm-up")
    SCALE = gettext_noop("scale")
    ETUDE = gettext_noop("etude")
    SPOTS = gettext_noop("spots")
    RUN_THROUGH = gettext_noop("run-through")
    REST = gettext_noop("favourite, explore, other")

    @property
    def label(self) -> str:
        return _(self.value)


class Off(StrEnum):
    """Why a week has no bar. The values stand in reports that were given."""

    CLOSED = "closed"  # the studio was, and no practice was planned
    NOTHING = "nothing planned"  # no words: a key
    BEFORE = "before the first lesson"  # no words: a key
    TO_COME = "to come"  # no words: a key

    @property
    def label(self) -> str:
        return {
            Off.CLOSED: pgettext("a week of the studio", "closed"),
            Off.NOTHING: pgettext("a week", "nothing planned"),
            Off.BEFORE: pgettext("a week", "before the first lesson"),
            Off.TO_COME: pgettext("a week", "to come"),
        }[self]


@dataclass(frozen=True)
class Stretch:
    """A week of the term, cut at the term's first and last day; the first has number 1."""

    number: int
    starts: dt.date
    ends: dt.date


@dataclass(frozen=True)
class ItemMinutes:
    """One item of one day. `played` is 0 where it was not done or nothing was heard."""

    date: dt.date
    into: Into
    planned: int
    played: int


@dataclass(frozen=True)
class WeekMinutes:
    """`played` has one number for each member of Into; `off` says why there is nothing."""

    number: int
    starts: dt.date
    ends: dt.date
    planned: int
    played: tuple[int, ...]
    off: Off | None = None

    @property
    def total(self) -> int:
        return sum(self.played)


def weeks_of(first: dt.date, last: dt.date, week_begins: int = 0) -> tuple[Stretch, ...]:
    """The weeks from the first to the last day; `week_begins` is a weekday, Monday 0."""
    found: list[Stretch] = []
    monday = week_start(first, week_begins)
    while monday <= last:
        ends = monday + dt.timedelta(days=DAYS_IN_WEEK - 1)
        found.append(Stretch(len(found) + 1, max(monday, first), min(ends, last)))
        monday += dt.timedelta(days=DAYS_IN_WEEK)
    return tuple(found)


def minutes_by_week(
    weeks: Sequence[Stretch],
    items: Iterable[ItemMinutes],
    closed: Sequence[tuple[dt.date, dt.date]],
    came: dt.date,
    until: dt.date,
) -> tuple[WeekMinutes, ...]:
    """Items of each week summed; those after `until` and outside the weeks are not counted.

    `came` is the student's first day. A week is off only where nothing was planned or played.
    """
    planned = [0] * len(weeks)
    played = [[0] * len(Into) for _ in weeks]
    place = {into: number for number, into in enumerate(Into)}
    number_of = {
        week.starts + dt.timedelta(days=day): number
        for number, week in enumerate(weeks)
        for day in range((week.ends - week.starts).days + 1)
    }
    for item in items:
        number = number_of.get(item.date)
        if number is not None and item.date <= until:
            planned[number] += item.planned
            played[number][place[item.into]] += item.played
    return tuple(
        WeekMinutes(
            number=week.number,
            starts=week.starts,
            ends=week.ends,
            planned=planned[number],
            played=tuple(played[number]),
            off=None if planned[number] or any(played[number]) else _why(week, closed, came, until),
        )
        for number, week in enumerate(weeks)
    )


def _why(
    week: Stretch, closed: Sequence[tuple[dt.date, dt.date]], came: dt.date, until: dt.date
) -> Off:
    if week.starts > until:
        return Off.TO_COME
    if week.ends < came:
        return Off.BEFORE
    if any(first <= week.ends and last >= week.starts for first, last in closed):
        return Off.CLOSED
    return Off.NOTHING
