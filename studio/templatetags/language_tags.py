"""What every template may use without loading it: days in words."""

import datetime as dt

from django import template

from studio.web.days import in_words

register = template.Library()


@register.filter(expects_localtime=True)
def day(value: dt.date | None, pattern: str) -> str:
    """`{{ lesson.date|day:"l j F" }}`: as `date`, but in the order the language has."""
    return in_words(value, pattern)
