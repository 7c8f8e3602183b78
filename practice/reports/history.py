"""One student's years with the studio: what a family keeps, and takes along when it moves."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from django.db.models import CharField, Count, Q, Sum
from django.db.models.functions import Cast, Substr

from practice.logs.models import LogEntry
from practice.music.keys import key_told
from practice.recitals.models import Performance
from practice.repertoire.models import PieceInHand, ScaleInHand
from practice.reports.models import Report
from studio.dates.weeks import DAYS_IN_WEEK
from studio.lessons.models import Lesson
from studio.people.models import Student


@dataclass(frozen=True)
class Span:
    """A piece, key or etude from its first to its last day; `ends` None while it is in hand.

    `how` is what is worth telling of it besides: its stage while it is in hand, a minor's form.
    """

    title: str
    by: str
    starts: dt.date
    ends: dt.date | None
    how: str = ""


@dataclass(frozen=True)
class Year:
    """Lessons kept and minutes practised in one calendar year."""

    year: int
    lessons: int
    minutes: int


@dataclass(frozen=True)
class OnStage:
    """A piece played at a recital that took place."""

    date: dt.date
    recital: str
    title: str
    by: str


@dataclass(frozen=True)
class History:
    """Each list from the latest back; nothing later than `until` or over before `since`."""

    student: Student
    until: dt.date
    since: dt.date
    years: tuple[Year, ...]
    pieces: tuple[Span, ...]
    keys: tuple[Span, ...]
    sizes: tuple[Span, ...]
    etudes: tuple[Span, ...]
    favourites: tuple[Span, ...]
    recitals: tuple[OnStage, ...]
    reports: tuple[Report, ...]


def history_of(student: Student, until: dt.date, since: dt.date = dt.date.min) -> History:
    """What was in hand, and what happened, from `since` on. Nine queries."""
    held = Q(until=None) | Q(until__gte=since)
    return History(
        student=student,
        until=until,
        since=since,
        years=_years(student, since, until),
        pieces=_pieces(student, since, until),
        sizes=_sizes(student, since, until),
        keys=tuple(
            Span(key_told(row.key), "", row.since, row.until, _form(row))
            for row in student.scales.filter(held, since__lte=until).order_by("-since", "-pk")
        ),
        etudes=tuple(
            Span(row.work.short_title, row.work.told_composer, row.since, row.until)
            for row in student.etudes.filter(held, since__lte=until)
            .select_related("work")
            .order_by("-since", "-pk")
        ),
        favourites=tuple(
            Span(row.work.short_title, row.work.told_composer, row.since, row.retired)
            for row in student.favourites.filter(
                Q(retired=None) | Q(retired__gte=since), since__lte=until
            )
            .select_related("work")
            .order_by("-since", "-pk")
        ),
        recitals=_recitals(student, since, until),
        reports=tuple(
            Report.objects.given()
            .filter(student=student, term__ends__gte=since)
            .select_related("term")
            .order_by("-term__starts", "-edition")
        ),
    )


def _sizes(student: Student, since: dt.date, until: dt.date) -> tuple[Span, ...]:
    """Each size until the day of the next one."""
    rows = list(student.sizes.filter(since__lte=until).order_by("since"))
    ends = [*(row.since for row in rows[1:]), None]
    spans = [Span(row.size, "", row.since, day) for row, day in zip(rows, ends, strict=True)]
    return tuple(span for span in reversed(spans) if span.ends is None or span.ends >= since)


def _pieces(student: Student, since: dt.date, until: dt.date) -> tuple[Span, ...]:
    held = Q(finished=None) | Q(finished__gte=since)
    rows = student.pieces.filter(held, started__lte=until).select_related("work")
    return tuple(
        Span(
            row.work.short_title,
            row.work.told_composer,
            row.started,
            row.finished,
            _stage(row),
        )
        for row in rows.order_by("-started", "-pk")
    )


def _stage(row: PieceInHand) -> str:
    if row.stage == PieceInHand.Stage.FINISHED:
        return ""
    told = row.finished is None or row.stage == PieceInHand.Stage.SET_ASIDE
    return row.get_stage_display() if told else ""


def _form(row: ScaleInHand) -> str:
    return "" if row.form == ScaleInHand.Form.MAJOR else row.get_form_display()


def _recitals(student: Student, since: dt.date, until: dt.date) -> tuple[OnStage, ...]:
    """From the day itself on; one that was called off is not among them."""
    played = Performance.objects.filter(
        Q(student=student) | Q(partner=student),
        programme__recital__date__range=(since, until),
        programme__recital__called_off=False,
    ).select_related("work", "programme__recital")
    return tuple(
        OnStage(
            each.programme.recital.date,
            each.programme.recital.name,
            each.work.short_title,
            each.work.told_composer,
        )
        for each in played.order_by("-programme__recital__date", "place", "pk")
    )


def _years(student: Student, since: dt.date, until: dt.date) -> tuple[Year, ...]:
    kept = Lesson.objects.filter(student=student, status=Lesson.Status.KEPT)
    taught = (
        kept.within(since, until).order_by().values_list(_year_of("date")).annotate(Count("pk"))
    )
    practised = (
        LogEntry.objects.filter(
            item__plan__assignment__student=student,
            # The weeks first, of which there are few: items have no index by day.
            item__plan__assignment__starts__range=(_a_week_before(since), until),
            item__date__range=(since, until),
            done=True,
        )
        .order_by()
        .values_list(_year_of("item__date"))
        .annotate(Sum("minutes"))
    )
    lessons, minutes = dict(taught), dict(practised)
    return tuple(
        Year(int(year), lessons.get(year, 0), minutes.get(year, 0))
        for year in sorted({*lessons, *minutes}, reverse=True)
    )


def _year_of(field: str) -> Substr:
    """Its four figures: for a number SQLite would ask Python, row by row."""
    return Substr(Cast(field, CharField()), 1, 4)


def _a_week_before(day: dt.date) -> dt.date:
    return day if day == dt.date.min else day - dt.timedelta(days=DAYS_IN_WEEK)
