"""The teacher's time: which minutes of a day are taken, and where a make-up lesson fits."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable
from typing import Final

QUARTER: Final = 15
EARLIEST_MAKE_UP: Final = dt.time(15, 0)
LATEST_END: Final = dt.time(20, 0)


class Room:
    """One room and one teacher; stretches are minutes since midnight, the end not included."""

    def __init__(self) -> None:
        self.taken: dict[dt.date, list[tuple[int, int]]] = defaultdict(list)

    def take(self, day: dt.date, starts: dt.time, minutes: int) -> None:
        first = minute_of(starts)
        self.taken[day].append((first, first + minutes))

    def is_free(self, day: dt.date, starts: dt.time, minutes: int) -> bool:
        first = minute_of(starts)
        return all(first >= end or first + minutes <= start for start, end in self.taken[day])

    def first_free(
        self,
        days: Iterable[dt.date],
        minutes: int,
        earliest: dt.time = EARLIEST_MAKE_UP,
        latest_end: dt.time = LATEST_END,
    ) -> tuple[dt.date, dt.time] | None:
        """The first day and quarter of an hour at which so many minutes are free."""
        for day in days:
            for first in range(minute_of(earliest), minute_of(latest_end) - minutes + 1, QUARTER):
                starts = time_of(first)
                if self.is_free(day, starts, minutes):
                    return day, starts
        return None


def minute_of(time: dt.time) -> int:
    return 60 * time.hour + time.minute


def time_of(minute: int) -> dt.time:
    return dt.time(minute // 60, minute % 60)
