"""People and times as a studio writes them."""

from __future__ import annotations

import datetime as dt

from django import template

from studio.access.models import Studio
from studio.people.models import WEEKDAYS, Student

register = template.Library()


@register.filter
def wall_time(time: dt.time | None, studio: Studio) -> str:
    """16:15 or 4:15 pm, by the studio's clock."""
    if time is None:
        return ""
    if studio.clock_24h:
        return f"{time:%H:%M}"
    hour = time.hour % 12 or 12
    return f"{hour}:{time:%M} {'am' if time.hour < 12 else 'pm'}"


@register.filter
def age_on(student: Student, day: dt.date) -> int | str:
    """Whole years, or nothing where the birth date is not known."""
    age = student.age_on(day)
    return "" if age is None else age


@register.filter
def week(student: Student, studio: Studio) -> list[tuple[str, int]]:
    """Short day name and minutes, from the studio's first day of the week."""
    days = [(studio.week_start + offset) % 7 for offset in range(7)]
    return [(WEEKDAYS[day].capitalize(), student.minutes[day]) for day in days]
