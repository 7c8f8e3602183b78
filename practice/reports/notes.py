"""What the teacher herself noted during a term: the material of her words."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import pgettext

from practice.logs.models import LessonNote, Word
from practice.plans.models import Assignment
from studio.people.models import Student
from studio.terms.models import Term


@dataclass(frozen=True)
class Noted:
    """`kind` says in words what it is: a note, what to listen for, to check, or from home."""

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
    found = [Noted(date, pgettext("kind of note", "note"), text) for date, text in notes]
    for date, listen_for, to_check in weeks:
        if listen_for:
            found.append(Noted(date, pgettext("kind of note", "listen for"), _plain(listen_for)))
        if to_check:
            found.append(Noted(date, pgettext("kind of note", "to check"), to_check))
    found += [Noted(date, _("from home"), text) for date, text in words]
    return sorted(found, key=lambda each: each.date, reverse=True)


def _plain(text: str) -> str:
    return text.replace("*", "")
