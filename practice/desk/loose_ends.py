"""What waits for the teacher, each thing with the one action that ends it."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from django.db.models import Count, Exists, Max, OuterRef, Subquery
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext, pgettext

from practice.logs.models import LogEntry
from practice.plans.models import Assignment, Item
from studio.access.models import Studio
from studio.lessons.models import Lesson
from studio.people.models import Student
from studio.terms.models import Recital
from studio.web.days import named_day

FORTNIGHT = dt.timedelta(days=14)
FRESH = dt.timedelta(days=6)  # a lesson older than this is followed by the next one


@dataclass(frozen=True)
class LooseEnd:
    """`mark` is a file of static/marks; `posts` says whether the action is a POST."""

    mark: str
    title: str
    words: str
    verb: str
    address: str
    posts: bool = False


@dataclass(frozen=True)
class Quiet:
    """A student of whose practice nothing was heard for a while; None: never."""

    student: Student
    last_heard: dt.date | None


def loose_ends(studio: Studio, today: dt.date) -> list[LooseEnd]:
    return [
        *_undecided(studio, today),
        *_unprinted(studio, today),
        *_make_ups(studio, today),
        *_unmarked(studio, today),
        *_recitals(studio, today),
    ]


def _undecided(studio: Studio, today: dt.date) -> list[LooseEnd]:
    """Lessons of the last days after which no week was decided."""
    following = Assignment.objects.filter(student=OuterRef("student"), starts__gt=OuterRef("date"))
    rows = (
        Lesson.objects.of(studio)
        .filter(status=Lesson.Status.KEPT, date__gte=today - FRESH, date__lt=today)
        .exclude(Exists(following))
        .select_related("student")
    )
    return [
        LooseEnd(
            "lesson",
            _("{name}’s week").format(name=row.student.given_name),
            _("is not decided yet"),
            _("Decide"),
            reverse("bench", args=[row.student_id]),
        )
        for row in rows
    ]


def _unprinted(studio: Studio, today: dt.date) -> list[LooseEnd]:
    rows = Assignment.objects.filter(
        student__family__studio=studio, starts__gt=today - FRESH, printed=None, sent=None
    ).select_related("student")
    return [
        LooseEnd(
            "print",
            _("{name}’s sheet").format(name=row.student.given_name),
            _("is decided, not printed"),
            _("Print"),
            reverse("sheet-print", args=[row.pk]),
            posts=True,
        )
        for row in rows.order_by("starts", "pk")
    ]


def _make_ups(studio: Studio, today: dt.date) -> list[LooseEnd]:
    owed = Lesson.objects.make_ups_owed(studio, today).select_related("student")
    names = [row.student.given_name for row in owed]
    if not names:
        return []
    title = ngettext("{n} make-up lesson", "{n} make-up lessons", len(names))
    words = _("still to place: {names}").format(names=", ".join(dict.fromkeys(names)))
    address = reverse("lessons:make-ups")
    place = pgettext("a make-up lesson on a day", "Place")
    return [LooseEnd("make-up", title.format(n=len(names)), words, place, address)]


def _unmarked(studio: Studio, today: dt.date) -> list[LooseEnd]:
    """Past lessons that are still only planned: kept, missed or cancelled?"""
    rows = Lesson.objects.of(studio).filter(status=Lesson.Status.PLANNED, date__lt=today)
    first = rows.order_by("date").first()
    if first is None:
        return []
    count = rows.count()
    title = ngettext("{n} past lesson", "{n} past lessons", count).format(n=count)
    date = first.date
    return [
        LooseEnd(
            "lesson",
            title,
            _("kept or missed? Not marked yet"),
            pgettext("a lesson as kept or missed", "Mark"),
            reverse("lessons:day", args=[date.year, date.month, date.day]),
        )
    ]


def _recitals(studio: Studio, today: dt.date) -> list[LooseEnd]:
    """Those of the next four weeks, with what is in the programme so far."""
    rows = Recital.objects.of(studio).held().filter(date__range=(today, today + 2 * FORTNIGHT))
    counted = rows.annotate(Count("programme__performances"))
    return [
        LooseEnd(
            "run-through",
            name,
            _on_it(count or 0).format(day=named_day(date), n=count),
            pgettext("at a recital", "Look"),
            reverse("recitals:recital", args=[pk]),
        )
        for pk, name, date, count in counted.values_list(
            "pk", "name", "date", "programme__performances__count"
        )
    ]


def _on_it(count: int) -> str:
    if not count:
        return _("on {day}: no pieces")
    return ngettext("on {day}: {n} piece", "on {day}: {n} pieces", count)


def quiet_homes(studio: Studio, today: dt.date) -> list[Quiet]:
    """Who has a week in hand and of whom nothing was heard for a fortnight."""
    since = today - FORTNIGHT
    of_student = LogEntry.objects.filter(item__plan__assignment__student=OuterRef("pk"))
    lately = of_student.filter(
        item__plan__assignment__starts__gt=since - dt.timedelta(days=7), item__date__gte=since
    )
    having = Assignment.objects.filter(
        student=OuterRef("pk"), starts__range=(today - 2 * FORTNIGHT, today - FORTNIGHT)
    )
    students = Student.objects.of(studio).learning().filter(Exists(having), ~Exists(lately))
    heard = _last_heard(list(students))
    quiet = [Quiet(student, heard.get(student.pk)) for student in students]
    return sorted(quiet, key=lambda each: each.student.given_name)


def _last_heard(students: list[Student]) -> dict[int, dt.date]:
    """By student. Only days of the latest week with a log are read."""
    logged = Item.objects.filter(log__isnull=False)
    weeks = Assignment.objects.filter(
        Exists(logged.filter(plan__assignment=OuterRef("pk"))), student=OuterRef("pk")
    )
    latest = Subquery(weeks.order_by("-starts").values("pk")[:1])
    of_them = Student.objects.filter(pk__in=[student.pk for student in students])
    days = logged.filter(plan__assignment__in=of_them.order_by().values_list(latest))
    last = days.order_by().values_list("plan__assignment__student").annotate(Max("date"))
    return dict(last)
