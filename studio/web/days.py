"""Days as they stand in a sentence."""

import datetime as dt

from django.utils.formats import date_format


def long_day(day: dt.date) -> str:
    """ "14 September 2026"."""
    return date_format(day, "j F Y")


def named_day(day: dt.date) -> str:
    """ "Monday 14 September"."""
    return date_format(day, "l j F")
