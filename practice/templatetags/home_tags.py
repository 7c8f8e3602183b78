"""Filters of the home page."""

from django import template

from practice.home.day import HomeDay

register = template.Library()


@register.filter
def percent_done(day: HomeDay) -> int:
    """How much of the day's minutes is done, for the G string: 0 to 100."""
    return min(100, 100 * day.done_minutes // day.minutes) if day.minutes else 0


@register.filter
def plain_stress(text: str) -> str:
    """The teacher's sentence without the stars of the stressed word."""
    return text.replace("*", "")
