"""Which week the Bench is about: seven days from the day after the lesson at hand."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from practice.plans.models import Assignment
from studio.lessons.models import Lesson
from studio.people.models import Student

DAYS = 7


@dataclass(frozen=True)
class Week:
    """`lesson` is the one it was decided at; `lessons` are those that fall inside the week."""

    starts: dt.date
    lesson: Lesson | None = None
    lessons: tuple[Lesson, ...] = ()

    @property
    def days(self) -> tuple[dt.date, ...]:
        return days_from(self.starts)

    @property
    def ends(self) -> dt.date:
        return self.days[-1]


def days_from(starts: dt.date) -> tuple[dt.date, ...]:
    return tuple(starts + dt.timedelta(days=number) for number in range(DAYS))


def week_at_hand(student: Student, today: dt.date) -> Week:
    """The week that begins after the latest lesson, or the one that runs, or one from today.

    A lesson counts from its own day on, so that the week is decided at its end.
    """
    since = today - dt.timedelta(days=DAYS - 1)
    around = _lessons(student, since, today + dt.timedelta(days=DAYS))
    latest = max((each for each in around if each.date <= today), key=_when, default=None)
    running = Assignment.objects.filter(student=student, starts__range=(since, today))
    begun = list(running.values_list("starts", flat=True))
    after_lesson = latest.date + dt.timedelta(days=1) if latest else None
    starts = max([*begun, *([after_lesson] if after_lesson else [])], default=today)
    return _week(starts, latest if starts == after_lesson else None, around)


def week_from(student: Student, starts: dt.date, lesson: Lesson | None = None) -> Week:
    last = starts + dt.timedelta(days=DAYS - 1)
    return _week(starts, lesson, _lessons(student, starts, last))


def _lessons(student: Student, first: dt.date, last: dt.date) -> list[Lesson]:
    found = Lesson.objects.standing().filter(student=student, date__range=(first, last))
    return list(found)


def _when(lesson: Lesson) -> tuple[dt.date, dt.time]:
    return lesson.date, lesson.starts


def _week(starts: dt.date, lesson: Lesson | None, around: list[Lesson]) -> Week:
    days = days_from(starts)
    return Week(starts, lesson, tuple(each for each in around if each.date in days))


def usual_minutes(student: Student, week: Week) -> tuple[int, ...]:
    """The budgets of the student's routine, in the week's own order of days."""
    return tuple(student.minutes[day.weekday()] for day in week.days)
