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
    lesson = (
        Lesson.objects.standing()
        .filter(student=student, date__lte=today, date__gt=today - dt.timedelta(days=DAYS))
        .order_by("-date", "-starts")
        .first()
    )
    running = Assignment.objects.filter(
        student=student, starts__lte=today, starts__gt=today - dt.timedelta(days=DAYS)
    ).first()
    after_lesson = lesson.date + dt.timedelta(days=1) if lesson else None
    begun = [day for day in (after_lesson, running and running.starts) if day]
    starts = max(begun, default=today)
    return week_from(student, starts, lesson if starts == after_lesson else None)


def week_from(student: Student, starts: dt.date, lesson: Lesson | None = None) -> Week:
    last = starts + dt.timedelta(days=DAYS - 1)
    inside = Lesson.objects.standing().filter(student=student, date__range=(starts, last))
    return Week(starts, lesson, tuple(inside))


def usual_minutes(student: Student, week: Week) -> tuple[int, ...]:
    """The budgets of the student's routine, in the week's own order of days."""
    return tuple(student.minutes[day.weekday()] for day in week.days)
