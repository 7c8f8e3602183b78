"""What a plan builder may know of one student's weeks, kept in memory while they are invented.

The rules are those of logs/history; a test compares the two on the saved rows.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass, field

from practice.logs.history import DAYS_REMEMBERED, NEVER_LEFT_OUT
from practice.logs.models import LogEntry
from practice.planning.types import History, Logged, Part
from practice.plans.generate import Past
from practice.plans.models import Item

ASKED_WHEN = frozenset({Part.SPOT, Part.FAVOURITE})  # parts told when they were last played


@dataclass(frozen=True)
class _Week:
    starts: dt.date
    minutes: tuple[int, ...]
    items: tuple[Item, ...]
    played: frozenset[tuple[dt.date, str]]


@dataclass
class Diary:
    weeks: list[_Week] = field(default_factory=list)
    logged: list[Logged] = field(default_factory=list)
    last: dict[str, dt.date] = field(default_factory=dict)

    def add(
        self,
        starts: dt.date,
        minutes: tuple[int, ...],
        items: Iterable[Item],
        entries: Iterable[LogEntry],
    ) -> None:
        """A week as planned and as logged; every entry is one of something done."""
        played = set()
        for entry in entries:
            item = entry.item
            played.add((item.date, item.key))
            self.logged.append(Logged(item.date, item.key, entry.minutes))
            if item.part in ASKED_WHEN:
                before = self.last.get(item.key, item.date)
                self.last[item.key] = max(before, item.date)
        self.weeks.append(_Week(starts, minutes, tuple(items), frozenset(played)))

    def past(self, starts: dt.date) -> Past:
        since = starts - dt.timedelta(days=DAYS_REMEMBERED)
        self.logged = [each for each in self.logged if each.date >= since]
        weeks = [week for week in self.weeks if week.starts >= since]
        self.weeks = weeks
        return Past(
            History(
                logged=tuple(sorted(self.logged, key=lambda each: (each.date, each.key))),
                left_out=_left_out(weeks[-1]) if weeks else (),
                days_off=tuple(sorted(_days_off(weeks, starts))),
            ),
            dict(self.last),
        )


def _left_out(week: _Week) -> tuple[str, ...]:
    played: dict[str, bool] = {}
    for item in week.items:
        if item.minutes and item.part not in NEVER_LEFT_OUT:
            was_played = (item.date, item.key) in week.played
            played[item.key] = played.get(item.key, False) or was_played
    return tuple(key for key, was_played in played.items() if week.played and not was_played)


def _days_off(weeks: Iterable[_Week], starts: dt.date) -> set[dt.date]:
    days = {
        week.starts + dt.timedelta(days=number)
        for week in weeks
        for number, minutes in enumerate(week.minutes)
        if not minutes
    }
    return {day for day in days if day < starts}
