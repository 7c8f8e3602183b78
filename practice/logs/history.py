"""What is known of the weeks before: for the plan builder, and in words for the teacher."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Collection, Iterable
from dataclasses import dataclass
from typing import NamedTuple

from django.utils.translation import gettext_lazy, ngettext

from practice.logs.models import LogEntry
from practice.planning.types import History, Logged, Part
from practice.plans.models import Assignment, Item
from practice.plans.weeks import days_from
from studio.people.models import Student

DAYS_REMEMBERED = 35
# A re-warm-up opens a session and explore owes nothing: neither is ever reported as left out.
NEVER_LEFT_OUT = frozenset({Part.RE_WARM_UP, Part.EXPLORE})
NAMES = {
    Part.STRETCH: gettext_lazy("Stretch"),
    Part.WARM_UP: gettext_lazy("Warm-up"),
    Part.SCALE: gettext_lazy("Scale"),
    Part.ETUDE: gettext_lazy("Etude"),
    Part.SPOT: gettext_lazy("Spots"),
    Part.RUN_THROUGH: gettext_lazy("Run-through"),
    Part.FREE: gettext_lazy("Her own item"),
    Part.FAVOURITE: gettext_lazy("Favourite"),
}


@dataclass(frozen=True)
class LeftOut:
    """A part not played on `missed` of the `planned` days on which something else was played.

    Days without any practice are no leaving out: the minutes of the day tell of them.
    """

    part: Part
    name: str
    missed: int
    planned: int

    @property
    def mark(self) -> str:
        """The file of its mark in static/marks."""
        return {Part.SPOT: "spots", Part.FREE: "exercise"}.get(
            self.part, self.part.value.replace("_", "-")
        )

    @property
    def words(self) -> str:
        """ "Etude, 3 of 5 days"."""
        if self.planned == 1:
            return self.name
        sentence = ngettext(
            "{part}, {n} of {planned} day", "{part}, {n} of {planned} days", self.planned
        )
        return sentence.format(part=self.name, n=self.missed, planned=self.planned)


@dataclass(frozen=True)
class DayMinutes:
    date: dt.date
    planned: int
    logged: int


@dataclass(frozen=True)
class LastWeek:
    """The week before, in minutes. `heard` is whether anything at all came back from home."""

    days: tuple[DayMinutes, ...]
    left_out: tuple[LeftOut, ...]
    heard: bool

    @property
    def planned(self) -> int:
        return sum(day.planned for day in self.days)

    @property
    def logged(self) -> int:
        return sum(day.logged for day in self.days)


def history_of(student: Student, starts: dt.date) -> History:
    """What the plan builder is told about the weeks before the one that starts on `starts`."""
    entries = LogEntry.objects.filter(
        item__plan__assignment__student=student,
        item__date__lt=starts,
        item__date__gte=starts - dt.timedelta(days=DAYS_REMEMBERED),
        done=True,
    ).values_list("item__date", "item__key", "minutes")
    assignments = list(
        Assignment.objects.filter(
            student=student,
            starts__lt=starts,
            starts__gte=starts - dt.timedelta(days=DAYS_REMEMBERED),
        )
    )
    return History(
        logged=tuple(Logged(*entry) for entry in entries.order_by("item__date", "item__key")),
        left_out=_keys_left_out(assignments[0], starts) if assignments else (),
        days_off=tuple(sorted(_days_off(assignments, starts))),
    )


def last_weeks(students: Collection[int], before: dt.date) -> dict[int, LastWeek]:
    """For each student (by id) the last week that began before the day, with all its seven days.

    Two queries for all.
    """
    since = before - dt.timedelta(days=DAYS_REMEMBERED)
    latest: dict[int, Assignment] = {}
    rows = Assignment.objects.filter(student__in=students, starts__lt=before, starts__gte=since)
    for row in rows.order_by("starts"):
        latest[row.student_id] = row
    owner = {row.pk: student for student, row in latest.items()}
    items: dict[int, list[_Played]] = defaultdict(list)
    # Values, not rows: of hundreds of items each would bring its whole plan along.
    found = Item.objects.filter(plan__assignment__in=owner).values_list(
        "plan__assignment", "date", "part", "minutes", "log__done", "log__minutes"
    )
    for assignment, date, part, planned, done, minutes in found:
        items[owner[assignment]].append(_Played(date, part, planned, done, minutes))
    return {student: _last_week(row.starts, items[student]) for student, row in latest.items()}


def last_week(student: Student, before: dt.date) -> LastWeek | None:
    return last_weeks([student.pk], before).get(student.pk)


class _Played(NamedTuple):
    """An item and what came back of it; `done` is None where nothing did."""

    date: dt.date
    part: str
    planned: int
    done: bool | None
    minutes: int | None


def _last_week(starts: dt.date, items: Iterable[_Played]) -> LastWeek:
    planned: dict[dt.date, int] = defaultdict(int)
    logged: dict[dt.date, int] = defaultdict(int)
    played: dict[tuple[Part, dt.date], bool] = defaultdict(bool)
    heard = False
    for item in items:
        heard = heard or item.done is not None
        planned[item.date] += item.planned
        logged[item.date] += (item.minutes or 0) if item.done else 0
        if item.planned:
            played[Part(item.part), item.date] |= bool(item.done)
    days = tuple(DayMinutes(day, planned[day], logged[day]) for day in days_from(starts))
    return LastWeek(days, _parts_left_out(played) if heard else (), heard)


def _parts_left_out(played: dict[tuple[Part, dt.date], bool]) -> tuple[LeftOut, ...]:
    """In playing order; a family that sent nothing back is unheard, which is no leaving out."""
    found = []
    practised = {day for (_, day), was_played in played.items() if was_played}
    for part in Part:
        days = [
            was_played
            for (each, day), was_played in played.items()
            if each == part and day in practised
        ]
        missed = days.count(False)
        if missed and part not in NEVER_LEFT_OUT:
            found.append(LeftOut(part, str(NAMES[part]), missed, len(days)))
    return tuple(found)


def _keys_left_out(assignment: Assignment, starts: dt.date) -> tuple[str, ...]:
    """Keys planned in that week of which nothing was played, where anything was logged at all."""
    items = Item.objects.filter(plan__assignment=assignment, date__lt=starts)
    played: dict[str, bool] = {}
    heard = False
    for key, part, minutes, done in items.values_list("key", "part", "minutes", "log__done"):
        heard = heard or done is not None
        if minutes and part not in NEVER_LEFT_OUT:
            played[key] = played.get(key, False) or bool(done)
    return tuple(key for key, was_played in played.items() if heard and not was_played)


def _days_off(assignments: Iterable[Assignment], starts: dt.date) -> set[dt.date]:
    """Days to which the teacher gave no minutes."""
    days = {
        row.starts + dt.timedelta(days=number)
        for row in assignments
        for number, minutes in enumerate(row.minutes)
        if not minutes
    }
    return {day for day in days if day < starts}
