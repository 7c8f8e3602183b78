"""Times of day as a studio writes them: the one rule for pages, paper and sentences."""

from __future__ import annotations

import datetime as dt
import re
from typing import Protocol

from django.utils.translation import gettext as _

A_TIME = re.compile(r"\b([01]\d|2[0-3]):([0-5]\d)\b")


class HasClock(Protocol):
    """Whoever says how times are written: a Studio, or a report that was frozen with its choice."""

    clock_24h: bool


def wall_time(time: dt.time, by: HasClock) -> str:
    """ "16:15" or "4:15 pm"."""
    if by.clock_24h:
        return f"{time:%H:%M}"
    pattern = _("{time} am") if time.hour < 12 else _("{time} pm")
    return pattern.format(time=f"{time.hour % 12 or 12}:{time:%M}")


def in_wall_time(sentence: str, by: HasClock) -> str:
    """The sentence of a pure rule, which knows no studio and writes "16:15"."""
    return A_TIME.sub(lambda found: wall_time(dt.time(int(found[1]), int(found[2])), by), sentence)
