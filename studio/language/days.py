"""Days as they stand in a sentence of a pure package: in words, in the language spoken now."""

import datetime as dt

from studio.language import gettext as _
from studio.language import pgettext


def weekday(day: dt.date) -> str:
    """ "Monday"."""
    return (
        _("Monday"),
        _("Tuesday"),
        _("Wednesday"),
        _("Thursday"),
        _("Friday"),
        _("Saturday"),
        _("Sunday"),
    )[day.weekday()]


def month(day: dt.date) -> str:
    """ "September"."""
    return (
        _("January"),
        _("February"),
        _("March"),
        _("April"),
        _("May"),
        _("June"),
        _("July"),
        _("August"),
        _("September"),
        _("October"),
        _("November"),
        _("December"),
    )[day.month - 1]


def day_and_month(day: dt.date) -> str:
    """ "14 September"."""
    return pgettext("a day", "{day} {month}").format(day=day.day, month=month(day))


def named_day(day: dt.date) -> str:
    """ "Monday 14 September"."""
    pattern = pgettext("a day", "{weekday} {day} {month}")
    return pattern.format(weekday=weekday(day), day=day.day, month=month(day))


def long_day(day: dt.date) -> str:
    """ "14 September 2026"."""
    pattern = pgettext("a day", "{day} {month} {year}")
    return pattern.format(day=day.day, month=month(day), year=day.year)
