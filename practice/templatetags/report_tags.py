"""Pictures of a report and its small words."""

from __future__ import annotations

from django import template

from practice.reports.data import hours
from practice.reports.keys import key_name

register = template.Library()

register.filter("hours", hours)
register.filter("key_name", key_name)


@register.filter
def plus(value: float, more: float) -> float:
    """Millimetres from a point of a chart."""
    return round(value + more, 2)
