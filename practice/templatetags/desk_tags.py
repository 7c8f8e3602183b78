"""Small words and pictures of the Desk."""

from typing import Any

from django import template
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext, pgettext

from practice.desk.day import DeskDay
from practice.desk.notes import latest_lesson
from practice.logs.history import LastWeek, LeftOut
from practice.logs.models import LessonNote
from practice.planning.words import sentence_case
from studio import clock
from studio.people.models import Student
from studio.web.week_bars import WeekBars
from studio.web.week_bars import week_bars as measured

register = template.Library()


@register.inclusion_tag("parts/week_bars.html")
def last_week_bars(week: LastWeek, large: bool = False) -> dict[str, WeekBars]:
    """`{% last_week_bars week %}`: planned hollow, logged solid, named by weekday."""
    names = [date_format(day.date, "D") for day in week.days]
    return {
        "week": measured(
            [day.planned for day in week.days],
            [day.logged for day in week.days],
            names if large else [name[0] for name in names],
            large,
        )
    }


@register.filter
def lessons_today(number: int) -> str:
    """ "Six lessons today"."""
    said = ngettext("one lesson today", "{count} lessons today", number)
    return sentence_case(said.format(count=_in_words(number)))


@register.filter
def weeks_in_words(number: int) -> str:
    """ "six weeks"."""
    return ngettext("one week", "{count} weeks", number).format(count=_in_words(number))


def _in_words(number: int) -> str:
    """Of lessons or weeks; figures above twelve."""
    words = (
        pgettext("so many lessons or weeks", "no"),
        pgettext("so many lessons or weeks", "one"),
        pgettext("so many lessons or weeks", "two"),
        pgettext("so many lessons or weeks", "three"),
        pgettext("so many lessons or weeks", "four"),
        pgettext("so many lessons or weeks", "five"),
        pgettext("so many lessons or weeks", "six"),
        pgettext("so many lessons or weeks", "seven"),
        pgettext("so many lessons or weeks", "eight"),
        pgettext("so many lessons or weeks", "nine"),
        pgettext("so many lessons or weeks", "ten"),
        pgettext("so many lessons or weeks", "eleven"),
        pgettext("so many lessons or weeks", "twelve"),
    )
    return words[number] if number < len(words) else str(number)


@register.filter
def most_left_out(week: LastWeek | None) -> list[LeftOut]:
    """The two parts left out most often, where a row has room for no more."""
    parts = week.left_out if week else ()
    return sorted(parts, key=lambda part: -part.missed)[:2]


@register.filter
def how_it_stands(day: DeskDay) -> str:
    """ "two taught, Imani in 17 minutes"."""
    parts = []
    if day.taught:
        said = ngettext("one taught", "{count} taught", day.taught)
        parts.append(said.format(count=_in_words(day.taught)))
    if day.next is not None and day.until_next is not None:
        hours, minutes = divmod(day.until_next, 60)
        if day.until_next <= 0:
            said = _("{name} now")
        elif hours:
            said = _("{name} in {h} h {min} min")
        else:
            said = ngettext("{name} in {n} minute", "{name} in {n} minutes", minutes)
        name = day.next.lesson.student.given_name
        parts.append(said.format(name=name, h=hours, min=f"{minutes:02}", n=minutes))
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
