"""The studio's year in sums: nobody is named, and nobody stands beside anybody."""

from __future__ import annotations

import datetime as dt
from collections import Counter, defaultdict
from dataclasses import dataclass

from django.db.models import Count, Q, QuerySet, Sum

from practice.figures.key_circle import KeyHeld, Known, in_order
from practice.figures.term_weeks import Into, ItemMinutes, WeekMinutes, minutes_by_week
from practice.figures.years import StudioYear
from practice.planning.types import Part
from practice.plans.models import Item
from practice.repertoire.models import PieceInHand, ScaleInHand
from practice.reports.figures import INTO, key_held
from studio.access.models import Studio
from studio.lessons.ledger import Fate
from studio.lessons.ledgers import ledgers_between
from studio.lessons.models import Lesson
from studio.people.models import Student

FATES = tuple(Fate)


@dataclass(frozen=True)
class Taught:
    """A month's lessons that were kept; two children in one lesson are one lesson of it."""

    starts: dt.date
    lessons: int
    minutes: int


@dataclass(frozen=True)
class KeyWorked:
    key: KeyHeld
    students: int


@dataclass(frozen=True)
class YearFigures:
    """Everything counted until `until`; `fates` says what became of each lesson that was planned.

    `days_planned` and `days_heard` are days of one student each: with minutes planned, and of
    those with something ticked at home.
    """

    year: StudioYear
    until: dt.date
    students: int
    taught: tuple[Taught, ...]
    fates: tuple[tuple[Fate, int], ...]
    months: tuple[WeekMinutes, ...]
    days_planned: int
    days_heard: int
    pieces_begun: int
    pieces_finished: int
    keys: tuple[KeyWorked, ...]

    @property
    def lessons_taught(self) -> int:
        return sum(month.lessons for month in self.taught)

    @property
    def minutes_taught(self) -> int:
        return sum(month.minutes for month in self.taught)

    @property
    def lessons_planned(self) -> int:
        return sum(count for _, count in self.fates)

    @property
    def planned(self) -> int:
        return sum(month.planned for month in self.months)

    @property
    def practised(self) -> int:
        return sum(month.total for month in self.months)

    @property
    def parts(self) -> tuple[tuple[Into, int], ...]:
        """Minutes practised by what they went into."""
        sums = [sum(month.played[place] for month in self.months) for place in range(len(Into))]
        return tuple(zip(Into, sums, strict=True))

    @property
    def share_heard(self) -> int | None:
        """Percent of the practice days, None without one."""
        return round(100 * self.days_heard / self.days_planned) if self.days_planned else None


def year_figures(studio: Studio, year: StudioYear, today: dt.date) -> YearFigures:
    """Nine queries, whatever the size of the studio."""
    until = min(today, year.last)
    students = list(Student.objects.of(studio).order_by())
    days_planned, days_heard = _days(studio, year, until)
    begun = Q(started__gte=year.first, started__lte=until)
    ended = Q(finished__gte=year.first, finished__lte=until)
    pieces = PieceInHand.objects.filter(student__family__studio=studio)
    return YearFigures(
        year=year,
        until=until,
        students=_here(students, year, until),
        taught=_taught(studio, year, until),
        fates=_fates(studio, year, students, today),
        months=_months(studio, year, until),
        days_planned=days_planned,
        days_heard=days_heard,
        pieces_begun=pieces.filter(begun).count(),
        pieces_finished=pieces.learned().filter(ended).count(),
        keys=_keys(studio, year, until),
    )


def _here(students: list[Student], year: StudioYear, until: dt.date) -> int:
    return sum(
        each.started <= until and (each.left is None or each.left >= year.first)
        for each in students
    )


def _taught(studio: Studio, year: StudioYear, until: dt.date) -> tuple[Taught, ...]:
    kept = Lesson.objects.of(studio).within(year.first, until).filter(status=Lesson.Status.KEPT)
    once = {
        (slot, date, starts) if slot else pk: (date, minutes)
        for pk, slot, date, starts, minutes in kept.order_by().values_list(
            "pk", "slot", "date", "starts", "minutes"
        )
    }
    found = []
    for month in year.months:
        lengths = [minutes for day, minutes in once.values() if month.starts <= day <= month.ends]
        found.append(Taught(month.starts, len(lengths), sum(lengths)))
    return tuple(found)


def _fates(
    studio: Studio, year: StudioYear, students: list[Student], today: dt.date
) -> tuple[tuple[Fate, int], ...]:
    ledgers, _ = ledgers_between(studio, year.first, year.last, students, today)
    count = Counter(line.fate for ledger in ledgers.values() for line in ledger.lines)
    return tuple((fate, count[fate]) for fate in FATES)


def _months(studio: Studio, year: StudioYear, until: dt.date) -> tuple[WeekMinutes, ...]:
    done = Q(log__done=True)
    sums = (
        _items(studio, year, until)
        .values_list("date", "part")
        .annotate(planned=Sum("minutes"), played=Sum("log__minutes", filter=done))
    )
    items = [
        ItemMinutes(date, INTO[Part(part)], planned, played or 0)
        for date, part, planned, played in sums
    ]
    return minutes_by_week(year.months, items, [], year.first, until)


def _days(studio: Studio, year: StudioYear, until: dt.date) -> tuple[int, int]:
    """Days of one student with minutes planned, and of those with something ticked."""
    days = (
        _items(studio, year, until)
        .values("plan__assignment__student", "date")
        .annotate(planned=Sum("minutes"), ticked=Count("log", filter=Q(log__done=True)))
        .filter(planned__gt=0)
    )
    count = days.aggregate(all=Count("date"), heard=Count("date", filter=Q(ticked__gt=0)))
    return count["all"], count["heard"]


def _items(studio: Studio, year: StudioYear, until: dt.date) -> QuerySet[Item]:
    return Item.objects.filter(
        plan__assignment__student__family__studio=studio,
        # The weeks first, of which there are few: items have no index by day.
        plan__assignment__starts__gt=year.first - dt.timedelta(days=7),
        plan__assignment__starts__lte=until,
        date__gte=year.first,
        date__lte=until,
    ).order_by()


def _keys(studio: Studio, year: StudioYear, until: dt.date) -> tuple[KeyWorked, ...]:
    """Each key that was in hand on a day of the year, with how many had it."""
    rows = ScaleInHand.objects.filter(
        Q(until=None) | Q(until__gte=year.first),
        student__family__studio=studio,
        since__lte=until,
    )
    who: defaultdict[KeyHeld, set[int]] = defaultdict(set)
    for name, student in rows.values_list("key", "student"):
        held = key_held(name, Known.LEARNT)
        if held is not None:
            who[held].add(student)
    return tuple(KeyWorked(key, len(who[key])) for key in in_order(who, Known.LEARNT))
