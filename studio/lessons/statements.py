"""A family's statement of a term, and the printed term: finished words for the templates."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop, ngettext

from studio.lessons.ledger import Fate, Ledger, Line
from studio.lessons.ledgers import term_ledgers
from studio.lessons.models import Lesson
from studio.people.models import Family, Student
from studio.terms.models import Term
from studio.web.days import in_words

# What became of a lesson that stood: as it was planned, and when it was moved.
AS_PLANNED = {
    Fate.GIVEN: (gettext_noop("given"), gettext_noop("given, moved from {day}")),
    Fate.TO_COME: (gettext_noop("still to come"), gettext_noop("still to come, moved from {day}")),
    Fate.UNMARKED: (
        gettext_noop("not marked yet"),
        gettext_noop("not marked yet, moved from {day}"),
    ),
}


@dataclass(frozen=True)
class Row:
    """One lesson owed and, in a parent's words, what became of it."""

    lesson: Lesson
    fate: Fate
    words: str


@dataclass(frozen=True)
class Account:
    """One student's term."""

    student: Student
    ledger: Ledger
    rows: list[Row]

    @property
    def sentence(self) -> str:
        """The sum in one sentence; it names only what there is."""
        ledger = self.ledger
        parts = [
            (ledger.given, _("{n} given")),
            (ledger.made_up, _("{n} made up")),
            (ledger.make_ups, _("{n} to be made up")),
            (ledger.to_come, _("{n} still to come")),
            (ledger.unmarked, _("{n} not marked yet")),
            (ledger.forfeited, _("{n} forfeited")),
        ]
        said = ", ".join(words.format(n=count) for count, words in parts if count)
        if not said:
            words = ngettext("{n} lesson this term.", "{n} lessons this term.", ledger.owed)
            return words.format(n=ledger.owed)
        # Translators: the counts are a list such as "10 given, 2 made up".
        words = ngettext("{n} lesson: {counts}.", "{n} lessons: {counts}.", ledger.owed)
        return words.format(n=ledger.owed, counts=said)


def family_accounts(term: Term, family: Family, today: dt.date) -> list[Account]:
    return accounts(term, list(family.students.all()), today)


def accounts(term: Term, students: list[Student], today: dt.date) -> list[Account]:
    """Accounts of those who have lessons in the term, in the order given."""
    ledgers, lessons = term_ledgers(term, students, today)
    return [
        Account(
            student,
            ledgers[student.pk],
            [_row(line, lessons) for line in ledgers[student.pk].lines],
        )
        for student in students
        if ledgers[student.pk].owed
    ]


def _row(line: Line, lessons: dict[int, Lesson]) -> Row:
    return Row(lessons[line.entry.id], line.fate, _words(line, lessons))


def _words(line: Line, lessons: dict[int, Lesson]) -> str:
    root = lessons[line.entry.id]
    if line.fate in AS_PLANNED:
        plain, moved = AS_PLANNED[line.fate]
        return _(moved).format(day=_day(root.slot_day)) if _moved(root) else _(plain)
    story = [_lost(root)]
    for entry in line.stands_in:
        story.append(_stand_in(lessons[entry.id]))
    last = lessons[line.last.id]
    if line.fate is Fate.FORFEITED:
        if last.make_up_owed and last.make_up_until:
            words = _("its make-up had to be taken by {day}")
            story.append(words.format(day=_day(last.make_up_until)))
        else:
            story.append(_("no make-up"))
    elif line.fate is Fate.OWED and not line.placed:
        words = _("make-up still to be found")
        if last.make_up_until:
            words = _("make-up still to be found by {day}").format(day=_day(last.make_up_until))
        story.append(words)
    return "; ".join(story)


def _moved(lesson: Lesson) -> bool:
    return lesson.slot_day is not None and lesson.slot_day != lesson.date


def _lost(lesson: Lesson) -> str:
    if lesson.status == Lesson.Status.CANCELLED_BY_TEACHER:
        return _("cancelled by the teacher")
    if lesson.status == Lesson.Status.MISSED:
        return _("missed")
    if lesson.with_notice:
        return _("cancelled by the family in good time")
    return _("cancelled by the family at short notice")


def _stand_in(lesson: Lesson) -> str:
    if lesson.status == Lesson.Status.KEPT:
        return _("made up on {day}").format(day=_day(lesson.date))
    if lesson.status == Lesson.Status.PLANNED:
        return _("make-up on {day}").format(day=_day(lesson.date))
    # Translators: what became of it is "missed", "cancelled by the teacher" and the like.
    words = _("make-up of {day} {what}")
    return words.format(day=_day(lesson.date), what=_lost(lesson))


def _day(day: dt.date | None) -> str:
    return in_words(day, "j F")
