"""Whole days without lessons: the teacher is ill, or nobody can come."""

from __future__ import annotations

import datetime as dt

from studio.access.models import Studio
from studio.lessons.booking import changing
from studio.lessons.changes import cancelled, told
from studio.lessons.models import Lesson, LessonRules
from studio.terms.models import Closure


def day_off(
    studio: Studio, day: dt.date, now: dt.datetime, *, from_time: dt.time | None = None
) -> list[Lesson]:
    """The teacher is ill: every planned lesson of the day, or of its rest, is cancelled by her."""
    with changing(studio):
        return _all_cancelled(studio, day, now, from_time)


def snow_day(
    studio: Studio, day: dt.date, now: dt.datetime, name: str, *, owed: bool = True
) -> list[Lesson]:
    """Nobody can come: the studio is closed that day and every planned lesson is cancelled."""
    with changing(studio):
        Closure.objects.get_or_create(studio=studio, starts=day, ends=day, defaults={"name": name})
        lessons = _all_cancelled(studio, day, now, None)
        if not owed:
            for lesson in lessons:
                lesson.make_up_owed = False
                lesson.save()
        return lessons


def _all_cancelled(
    studio: Studio, day: dt.date, now: dt.datetime, from_time: dt.time | None
) -> list[Lesson]:
    rules = LessonRules.of(studio)
    planned = Lesson.objects.of(studio).filter(date=day, status=Lesson.Status.PLANNED)
    if from_time is not None:
        planned = planned.filter(starts__gte=from_time)
    rows = planned.select_related("student__family__studio", "slot")
    return [told(cancelled(row, "teacher", now, rules)) for row in rows]
