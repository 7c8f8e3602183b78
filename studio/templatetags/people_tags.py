"""People and times as a studio writes them."""

from __future__ import annotations

import datetime as dt

from django import template
from django.utils.dates import WEEKDAYS_ABBR
from django.utils.timezone import localtime

from studio.access.models import Studio
from studio.people.models import Student
from studio.web import wall_clock
from studio.web.wall_clock import HasClock

register = template.Library()


@register.filter
def wall_time(time: dt.time | dt.datetime | None, studio: HasClock) -> str:
    """16:15 or 4:15 pm, by the studio's clock; of a moment, the time of its day."""
    if isinstance(time, dt.datetime):
        time = localtime(time).time()
    return "" if time is None else wall_clock.wall_time(time, studio)


@register.filter
def in_wall_time(sentence: str, studio: HasClock) -> str:
    return wall_clock.in_wall_time(sentence, studio)


@register.filter
def age_on(student: Student, day: dt.date) -> int | str:
    """Whole years, or nothing where the birth date is not known."""
    age = student.age_on(day)
    return "" if age is None else age


@register.filter
def weekday_short(day: int) -> str:
    """ "Mon" of 0."""
    return str(WEEKDAYS_ABBR[day])


@register.filter
def week(student: Student, studio: Studio) -> list[tuple[str, int]]:
    """Short day name and minutes, from the studio's first day of the week."""
    days = [(studio.week_start + offset) % 7 for offset in range(7)]
    return [(weekday_short(day), student.minutes[day]) for day in days]
