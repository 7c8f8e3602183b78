"""One change at a time: the lock of a studio's calendar, and the check against double booking."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from zoneinfo import ZoneInfo

from django.db import transaction
from django.utils.translation import gettext as _

from studio.access.models import Studio
from studio.dates.free import Booked, first_clash
from studio.dates.zones import NoSuchTimeError, to_utc
from studio.lessons.models import BusyTime, Lesson, LessonRules
from studio.web.days import named_day
from studio.web.wall_clock import in_wall_time, wall_time


class Refused(ValueError):
    """The change is not possible; the message is the reason, fit to be read by the teacher."""


@contextmanager
def changing(studio: Studio) -> Iterator[None]:
    """A transaction in which nobody else changes this studio's calendar.

    SQLite begins it with the write lock; PostgreSQL takes the lock on the studio's row.
    """
    with transaction.atomic():
        Studio.objects.select_for_update().get(pk=studio.pk)
        yield


def again(lesson: Lesson) -> Lesson:
    """The lesson as it is now, read inside the transaction."""
    try:
        return Lesson.objects.select_related("student__family__studio", "slot").get(pk=lesson.pk)
    except Lesson.DoesNotExist:
        raise Refused(_("This lesson is no longer there. Somebody has taken it out.")) from None


def instant(studio: Studio, day: dt.date, starts: dt.time) -> dt.datetime:
    """The start in UTC; refused with the reason on a clock-change night."""
    try:
        return to_utc(day, starts, ZoneInfo(studio.zone))
    except NoSuchTimeError as reason:
        raise Refused(in_wall_time(str(reason), studio)) from reason


def taken_between(
    studio: Studio, starts: dt.date, ends: dt.date, without: Iterable[Lesson] = ()
) -> list[Booked]:
    """Standing lessons and busy times on these days, with a day's margin on both sides."""
    zone = ZoneInfo(studio.zone)
    margin = dt.timedelta(days=1)
    first, last = starts - margin, ends + margin
    lessons = (
        Lesson.objects.of(studio)
        .standing()
        .within(first, last)
        .exclude(pk__in=[lesson.pk for lesson in without])
        .select_related("student")
    )
    busy = BusyTime.objects.filter(
        studio=studio,
        starts__lt=dt.datetime.combine(last + margin, dt.time(), tzinfo=zone),
        ends__gt=dt.datetime.combine(first, dt.time(), tzinfo=zone),
    )
    return [row.booked(zone) for row in [*lessons, *busy]]


def check_free(studio: Studio, lessons: Iterable[Lesson]) -> None:
    """Refuse when one of these unsaved lessons would double-book teacher, student or room.

    To be called inside `changing`; the rows themselves, if saved before, are left out.
    """
    wanted = list(lessons)
    if not wanted:
        return
    zone = ZoneInfo(studio.zone)
    travel = LessonRules.of(studio).travel
    for lesson in wanted:
        instant(studio, lesson.date, lesson.starts)
    days = [lesson.date for lesson in wanted]
    taken = taken_between(studio, min(days), max(days), without=wanted)
    for lesson in sorted(wanted, key=lambda one: (one.date, one.starts)):
        stretch = lesson.booked(zone)
        other = first_clash(stretch, taken, travel)
        if other is not None:
            raise Refused(clash_sentence(lesson, other, studio))
        taken.append(stretch)


def clash_sentence(lesson: Lesson, other: Booked, studio: Studio) -> str:
    """Who cannot come when, and because of what."""
    zone = ZoneInfo(studio.zone)
    begins, ends = other.starts.astimezone(zone).time(), other.ends.astimezone(zone).time()
    sentence = _("{name} cannot have {day} at {time}: {what} is from {begins} to {ends}.")
    if other.place is not None and lesson.where() not in (None, other.place):
        sentence = (
            _(
                "{name} cannot have {day} at {time}: {what} is from {begins} to {ends} "
                "at {place}, and the way there takes time."
            )
            if other.place
            else _(
                "{name} cannot have {day} at {time}: {what} is from {begins} to {ends} "
                "in the studio, and the way there takes time."
            )
        )
    return sentence.format(
        name=lesson.student.given_name,
        day=named_day(lesson.date),
        time=wall_time(lesson.starts, studio),
        what=other.what,
        begins=wall_time(begins, studio),
        ends=wall_time(ends, studio),
        place=other.place,
    )


def together(lesson: Lesson) -> list[Lesson]:
    """All rows of this lesson: its own, and those of siblings who share it."""
    if lesson.slot_id is None:
        return [lesson]
    return list(
        Lesson.objects.filter(
            slot_id=lesson.slot_id,
            date=lesson.date,
            starts=lesson.starts,
            status=lesson.status,
        ).select_related("student__family__studio", "slot")
    )
