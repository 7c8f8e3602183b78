"""A term's reports at a glance, in the order of lessons: who has words, who has none yet."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from practice.reports.editions import editions_of
from practice.reports.guards import students_of
from practice.reports.models import Report
from studio.dates.weeks import DAYS_IN_WEEK
from studio.language.days import weekday
from studio.lessons.models import Lesson
from studio.people.models import Student
from studio.terms.models import Term

LAST = (DAYS_IN_WEEK, dt.time.max)  # who has no lesson time comes last


@dataclass(frozen=True)
class Row:
    """`usual` is weekday (Monday 0) and time of the latest lesson of the term, if there is one."""

    student: Student
    editions: tuple[Report, ...]
    usual: tuple[int, dt.time] | None

    @property
    def draft(self) -> Report | None:
        return next((each for each in self.editions if each.given is None), None)

    @property
    def given(self) -> Report | None:
        """The latest edition that was given."""
        return next((each for each in reversed(self.editions) if each.given is not None), None)

    @property
    def letters(self) -> int:
        return len(self.draft.words.strip()) if self.draft else 0

    @property
    def state(self) -> str:
        """ "given", "words" (not given yet), "correction" or "none"."""
        if self.draft and self.given:
            return "correction"
        if self.given:
            return "given"
        return "words" if self.letters else "none"

    @property
    def weekday(self) -> str:
        """ "Wednesday"."""
        return weekday(dt.date(2024, 1, 1 + self.usual[0])) if self.usual else ""


def term_rows(term: Term) -> list[Row]:
    """Three queries."""
    students = list(students_of(term))
    editions = editions_of(term, [student.pk for student in students])
    usual = _lesson_times(term, [student.pk for student in students])
    rows = [
        Row(student, tuple(editions.get(student.pk, ())), usual.get(student.pk))
        for student in students
    ]
    return sorted(rows, key=lambda row: _place(row, term.studio.week_start))


def _place(row: Row, week_begins: int) -> tuple[int, dt.time, str, int]:
    day, starts = row.usual or LAST
    if row.usual:
        day = (day - week_begins) % DAYS_IN_WEEK
    return day, starts, row.student.given_name, row.student.pk


def _lesson_times(term: Term, ids: list[int]) -> dict[int, tuple[int, dt.time]]:
    """Weekday and time of the latest lesson of the term, those by a weekly time before others."""
    rows = Lesson.objects.filter(student__in=ids).within(term.starts, term.ends).standing()
    found: dict[int, tuple[bool, int, dt.time]] = {}
    for student, date, starts, slot in rows.order_by("date", "starts").values_list(
        "student", "date", "starts", "slot"
    ):
        weekly = slot is not None
        if weekly or not found.get(student, (False,))[0]:
            found[student] = (weekly, date.weekday(), starts)
    return {student: (day, starts) for student, (_, day, starts) in found.items()}
