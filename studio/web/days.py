"""Days as they stand in a sentence or in a column, in the order their language has them."""

import datetime as dt

from django.utils.formats import date_format
from django.utils.translation import pgettext, pgettext_lazy

from studio.language.cached import cached_as_spoken

# Every pattern in use, so that each has a place in the catalog of a language.
PATTERNS = (
    pgettext_lazy("date pattern", "D j F"),
    pgettext_lazy("date pattern", "D j F Y"),
    pgettext_lazy("date pattern", "D j M"),
    pgettext_lazy("date pattern", "D j M Y"),
    pgettext_lazy("date pattern", "j F"),
    pgettext_lazy("date pattern", "j F Y"),
    pgettext_lazy("date pattern", "j M"),
    pgettext_lazy("date pattern", "j M Y"),
    pgettext_lazy("date pattern", "l j F"),
    pgettext_lazy("date pattern", "l j F Y"),
    pgettext_lazy("date pattern", "l j M"),
    pgettext_lazy("date pattern", "F Y"),
    pgettext_lazy("date pattern", "M"),
    pgettext_lazy("date pattern", "M Y"),
)


def in_words(day: dt.date | None, pattern: str) -> str:
    """By a pattern of letters as Django's `date` has them, put in the order of the language.

    "l j F" is "Monday 14 September", and "Montag, 14. September" in German.
    """
    if type(day) is dt.date:  # a moment is another day in another zone, and yet the same
        return _of_day(day, pattern)
    return date_format(day, pgettext("date pattern", pattern)) if day else ""


@cached_as_spoken(maxsize=4096)  # pages tell the same days over and over
def _of_day(day: dt.date, pattern: str) -> str:
    return date_format(day, pgettext("date pattern", pattern))


def long_day(day: dt.date) -> str:
    """ "14 September 2026"."""
    return in_words(day, "j F Y")


def named_day(day: dt.date) -> str:
    """ "Monday 14 September"."""
    return in_words(day, "l j F")
