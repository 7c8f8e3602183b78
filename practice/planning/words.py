"""Days and minutes in the sentences the builder writes."""

from __future__ import annotations

import datetime as dt

_WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)


def weekday(day: dt.date) -> str:
    return _WEEKDAYS[day.weekday()]


def day_and_month(day: dt.date) -> str:
    """ "3 March", in every locale."""
    return f"{day.day} {_MONTHS[day.month - 1]}"


def minutes_of(count: int) -> str:
    return "1 minute" if count == 1 else f"{count} minutes"


def listed(words: list[str]) -> str:
    """ "a", "a and b", "a, b and c"."""
    return " and ".join([", ".join(words[:-1])] * (len(words) > 1) + words[-1:])
