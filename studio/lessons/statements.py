"""A family's statement of a term, and the printed term: finished words for the templates."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from studio.lessons.ledger import Fate, Ledger, Line
from studio.lessons.ledgers import term_ledgers
from studio.lessons.models import Lesson
from studio.people.models import Family, Student
from studio.terms.models import Term


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
            (ledger.given, "given"),
            (ledger.made_up, "made up"),
            (ledger.make_ups, "to be made up"),
            (ledger.to_come, "still to come"),
            (ledger.unmarked, "not marked yet"),
            (ledger.forfeited, "forfeited"),
        ]
        said = [f"{count} {words}" for count, words in parts if count]
        lessons = f"{ledger.owed} lesson{'' if ledger.owed == 1 else 's'}"
        return f"{lessons}: {', '.join(said)}." if said else f"{lessons} this term."


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
    if line.fate is Fate.GIVEN:
        return f"given, moved from {_day(root.slot_day)}" if _moved(root) else "given"
    if line.fate in (Fate.TO_COME, Fate.UNMARKED):
        word = "still to come" if line.fate is Fate.TO_COME else "not marked yet"
        return f"{word}, moved from {_day(root.slot_day)}" if _moved(root) else word
    story = [_lost(root)]
    for entry in line.stands_in:
        story.append(_stand_in(lessons[entry.id]))
    last = lessons[line.last.id]
    if line.fate is Fate.FORFEITED:
        if last.make_up_owed and last.make_up_until:
            story.append(f"its make-up had to be taken by {_day(last.make_up_until)}")
        else:
            story.append("no make-up")
    elif line.fate is Fate.OWED and not line.placed:
        until = f" by {_day(last.make_up_until)}" if last.make_up_until else ""
        story.append(f"make-up still to be found{until}")
    return "; ".join(story)


def _moved(lesson: Lesson) -> bool:
    return lesson.slot_day is not None and lesson.slot_day != lesson.date


def _lost(lesson: Lesson) -> str:
    if lesson.status == Lesson.Status.CANCELLED_BY_TEACHER:
        return "cancelled by the teacher"
    if lesson.status == Lesson.Status.MISSED:
        return "missed"
    return f"cancelled by the family {'in good time' if lesson.with_notice else 'at short notice'}"


def _stand_in(lesson: Lesson) -> str:
    if lesson.status == Lesson.Status.KEPT:
        return f"made up on {_day(lesson.date)}"
    if lesson.status == Lesson.Status.PLANNED:
        return f"make-up on {_day(lesson.date)}"
    return f"make-up of {_day(lesson.date)} {_lost(lesson)}"


def _day(day: dt.date | None) -> str:
    return f"{day.day} {day:%B}" if day else ""
