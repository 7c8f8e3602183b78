"""Filters of the home page."""

from collections.abc import Iterable

from django import template
from django.utils.html import format_html
from django.utils.safestring import SafeString, mark_safe

from practice.home.day import HomeDay
from studio.language.lists import listed

register = template.Library()


@register.filter
def percent_done(day: HomeDay) -> int:
    """How much of the day's minutes is done, for the G string: 0 to 100."""
    return min(100, 100 * day.done_minutes // day.minutes) if day.minutes else 0


@register.filter
def plain_stress(text: str) -> str:
    """The teacher's sentence without the stars of the stressed word."""
    return text.replace("*", "")


@register.filter
def listed_apart(words: Iterable[object]) -> SafeString:
    """Names in a sentence, each in its own reading direction."""
    apart = [format_html("<bdi>{}</bdi>", word) for word in words]
    return mark_safe(listed(apart))  # noqa: S308 (each is escaped above)
