"""How a tempo came nearer to its goal, week by week."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from practice.figures.term_weeks import Stretch
from studio.language import gettext as _


@dataclass(frozen=True)
class WeekTempo:
    """The fastest tempo told in one week, in beats a minute."""

    week: int
    bpm: int


@dataclass(frozen=True)
class TempoLine:
    """`detail` are the bars of a spot; `tempos` has one for each week in which a tempo was told."""

    title: str
    detail: str
    goal: int
    tempos: tuple[WeekTempo, ...]

    @property
    def name(self) -> str:
        return f"{self.title}, {self.detail}" if self.detail else self.title

    @property
    def first(self) -> WeekTempo:
        return self.tempos[0]

    @property
    def last(self) -> WeekTempo:
        return self.tempos[-1]

    @property
    def reached(self) -> WeekTempo | None:
        """The first week at the goal or beyond."""
        return next((each for each in self.tempos if each.bpm >= self.goal), None)

    @property
    def by_week(self) -> str:
        """Week and tempo of every point, "6: 44, 13: 80", kept together by no-break spaces."""
        return ", ".join(f"{each.week}:\N{NO-BREAK SPACE}{each.bpm}" for each in self.tempos)

    @property
    def words(self) -> str:
        """ "from 44 in week 6 to 80 in week 13, goal 80 reached"."""
        if len(self.tempos) == 1:
            way = _("{bpm} in week {week}").format(bpm=self.first.bpm, week=self.first.week)
        else:
            way = _("from {first} in week {week} to {last} in week {last_week}").format(
                first=self.first.bpm,
                week=self.first.week,
                last=self.last.bpm,
                last_week=self.last.week,
            )
        if self.reached is None:
            return _("{tempos}, goal {goal} not reached yet").format(tempos=way, goal=self.goal)
        return _("{tempos}, goal {goal} reached in week {week}").format(
            tempos=way, goal=self.goal, week=self.reached.week
        )


def tempo_line(
    title: str,
    detail: str,
    goal: int,
    told: Iterable[tuple[dt.date, int]],
    weeks: Sequence[Stretch],
) -> TempoLine | None:
    """The fastest tempo of each week; None where none was told in these weeks."""
    best: dict[int, int] = {}
    for date, bpm in told:
        week = next((each.number for each in weeks if each.starts <= date <= each.ends), None)
        if week is not None:
            best[week] = max(bpm, best.get(week, 0))
    if not best:
        return None
    return TempoLine(
        title, detail, goal, tuple(WeekTempo(week, best[week]) for week in sorted(best))
    )


def longest_first(lines: Iterable[TempoLine]) -> tuple[TempoLine, ...]:
    """One of each piece before a second of any; within that those with most weeks first, then the
    later one, then by name."""
    ordered = sorted(lines, key=lambda line: (-len(line.tempos), -line.last.week, line.name))
    turn: Counter[str] = Counter()
    placed = []
    for line in ordered:
        placed.append((turn[line.title], line))
        turn[line.title] += 1
    return tuple(line for _, line in sorted(placed, key=lambda each: each[0]))
