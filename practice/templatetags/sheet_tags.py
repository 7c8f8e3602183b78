"""Filters of the printed sheets."""

from django import template
from django.utils.safestring import SafeString

from practice.sheets import words

register = template.Library()

register.filter("reading_direction", words.reading_direction)


@register.filter
def stressed(text: str) -> SafeString:
    """`*word*` is printed as the stressed word; everything else is escaped."""
    return words.stressed(text)


@register.filter
def rings(times: int) -> str:
    """A ring to colour for each time, at most five."""
    return "○" * max(0, min(5, times))
