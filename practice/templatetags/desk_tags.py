"""Small words and pictures of the Desk."""

from typing import Any

from django import template

from practice.desk.day import DeskDay
from practice.desk.notes import latest_lesson
from practice.logs.history import LastWeek, LeftOut
from practice.logs.models import LessonNote
from studio import clock
from studio.people.models import Student
from studio.web.week_bars import WeekBars
from studio.web.week_bars import week_bars as measured

register = template.Library()


@register.inclusion_tag("parts/week_bars.html")
def last_week_bars(week: LastWeek, large: bool = False) -> dict[str, WeekBars]:
    """`{% last_week_bars week %}`: planned hollow, logged solid, named by weekday."""
    names = [f"{day.date:%a}" for day in week.days]
    return {
        "week": measured(
            [day.planned for day in week.days],
            [day.logged for day in week.days],
            names if large else [name[0] for name in names],
            large,
        )
    }


@register.filter
def count_in_words(number: int, noun: str) -> str:
    """`{{ 6|count_in_words:"lesson" }}`: "Six lessons"; figures above twelve."""
    words = (
        "No", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine", "Ten",
        "Eleven", "Twelve",
    )  # fmt: skip
    shown = words[number] if number < len(words) else str(number)
    return f"{shown} {noun}{'' if number == 1 or not noun else 's'}".strip()


@register.filter
def most_left_out(week: LastWeek | None) -> list[LeftOut]:
    """The two parts left out most often, where a row has room for no more."""
    parts = week.left_out if week else ()
    return sorted(parts, key=lambda part: -part.missed)[:2]


@register.filter
def how_it_stands(day: DeskDay) -> str:
    """ "two taught, Imani in 17 minutes"."""
    parts = [f"{count_in_words(day.taught, '').lower()} taught"] if day.taught else []
    if day.next is not None and day.until_next is not None:
        name = day.next.lesson.student.given_name
        minutes = day.until_next
        if minutes <= 0:
            parts.append(f"{name} now")
        elif minutes < 60:
            parts.append(f"{name} in {minutes} minute{'' if minutes == 1 else 's'}")
        else:
            parts.append(f"{name} in {minutes // 60} h {minutes % 60:02} min")
    return ", ".join(parts)


@register.inclusion_tag("desk/notes_panel.html")
def lesson_notes_of(student: Student) -> dict[str, Any]:
    """The latest notes on a student's own page, and the way to all of them. Two queries."""
    notes = LessonNote.objects.filter(lesson__student=student).select_related("lesson")
    return {
        "student": student,
        "notes": notes.order_by("-lesson__date", "-written")[:3],
        "latest": latest_lesson(student, clock.today(student.family.studio)),
    }
