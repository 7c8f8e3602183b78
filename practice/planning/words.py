"""Days and minutes in the sentences the builder writes."""

from __future__ import annotations

import datetime as dt


def weekday(day: dt.date) -> str:
    return f"{day:%A}"


def day_and_month(day: dt.date) -> str:
    """ "3 March"."""
    return f"{day.day} {day:%B}"


def minutes_of(count: int) -> str:
    return "1 minute" if count == 1 else f"{count} minutes"


def listed(words: list[str]) -> str:
    """ "a", "a and b", "a, b and c"."""
    return " and ".join([", ".join(words[:-1])] * (len(words) > 1) + words[-1:])
