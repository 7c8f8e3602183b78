"""What the teacher herself noted during a term: the material of her words."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from practice.logs.models import LessonNote, Word
from practice.plans.models import Assignment
from studio.people.models import Student
from studio.terms.models import Term


@dataclass(frozen=True)
class Noted:
    """`kind` is "note", "listen for", "to check" or "from home"."""

    date: dt.date
    kind: str
    text: str


def noted_in(term: Term, student: Student) -> list[Noted]:
    """By date, the latest first. Three queries."""
    notes = LessonNote.objects.filter(
        lesson__student=student, lesson__date__gte=term.starts, lesson__date__lte=term.ends
    ).values_list("lesson__date", "text")
    weeks = Assignment.objects.filter(
        student=student, starts__gte=term.starts, starts__lte=term.ends
    ).values_list("starts", "listen_for", "to_check")
    words = Word.objects.filter(
        student=student, date__gte=term.starts, date__lte=term.ends
    ).values_list("date", "text")
    found = [Noted(date, "note", text) for date, text in notes]
    for date, listen_for, to_check in weeks:
        found += [Noted(date, "listen for", listen_for.replace("*", ""))] if listen_for else []
        found += [Noted(date, "to check", to_check)] if to_check else []
    found += [Noted(date, "from home", text) for date, text in words]
    return sorted(found, key=lambda each: each.date, reverse=True)
