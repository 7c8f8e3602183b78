"""Rows into ledgers, for a whole term or year at once."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable

from django.db.models import Q

from studio.access.models import Studio
from studio.lessons.ledger import Entry, Ledger, settle
from studio.lessons.models import Lesson
from studio.people.models import Student
from studio.terms.models import Term


def term_ledgers(
    term: Term, students: Iterable[Student], today: dt.date
) -> tuple[dict[int, Ledger], dict[int, Lesson]]:
    """Ledger by student id, and every lesson named in them by id. Two queries."""
    return ledgers_between(term.studio, term.starts, term.ends, students, today)


def ledgers_between(
    studio: Studio, first: dt.date, last: dt.date, students: Iterable[Student], today: dt.date
) -> tuple[dict[int, Ledger], dict[int, Lesson]]:
    """The same for the lessons that any stretch of days owes. Two queries."""
    ids = [student.pk for student in students]
    days = (first, last)
    of_days = Q(slot_day__range=days) | Q(slot_day=None, date__range=days)
    owed = Lesson.objects.of(studio).filter(of_days, student__in=ids)
    # Sorted out here: asked for them, SQLite looks through all that make up for nothing.
    rows = {lesson.pk: lesson for lesson in owed if lesson.makes_up_id is None}
    # Make-ups may lie on any later day; they belong to the lesson they stand for.
    for lesson in Lesson.objects.filter(
        ~Q(makes_up=None), student__in=ids, date__gte=first
    ).order_by("pk"):
        rows[lesson.pk] = lesson
    by_student: defaultdict[int, list[Entry]] = defaultdict(list)
    for lesson in rows.values():
        if _belongs(lesson, rows):
            by_student[lesson.student_id].append(entry(lesson))
    return {pk: settle(by_student[pk], today) for pk in ids}, rows


def _belongs(lesson: Lesson, rows: dict[int, Lesson]) -> bool:
    """Whether the chain of a make-up ends in one of the lessons owed."""
    seen = set()
    while lesson.makes_up_id is not None:
        if lesson.makes_up_id not in rows or lesson.pk in seen:
            return False
        seen.add(lesson.pk)
        lesson = rows[lesson.makes_up_id]
    return True


def entry(lesson: Lesson) -> Entry:
    return Entry(
        lesson.pk,
        lesson.date,
        lesson.status,
        lesson.makes_up_id,
        lesson.make_up_owed,
        lesson.make_up_until,
    )
