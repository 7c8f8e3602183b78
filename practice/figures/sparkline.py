"""A small line of one tempo over its days, rising to a dashed goal; in units of its own box."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from statistics import median

from practice.figures.evidence import REMEMBERED, TempoPoint
from studio.language import gettext as _

WIDTH, HEIGHT, EDGE, FIGURES = 260.0, 56.0, 8.0, 36.0
CLEAR = 15.0


@dataclass(frozen=True)
class Sparkline:
    """`points` are x and y from the top left; `first` and `last` the tempos at both ends."""

    points: tuple[tuple[float, float], ...]
    goal: int
    goal_y: float
    first: float
    last: float
    width: float = WIDTH
    height: float = HEIGHT

    @property
    def path(self) -> str:
        return "M" + "L".join(f"{x} {y}" for x, y in self.points)

    @property
    def last_x(self) -> float:
        return self.points[-1][0]

    @property
    def figures_x(self) -> float:
        return self.last_x + EDGE

    @property
    def last_y(self) -> float:
        """Where the last tempo is written: clear of the goal's figure unless both are one."""
        y = self.points[-1][1]
        return y if y == self.goal_y else max(y, self.goal_y + CLEAR)

    @property
    def words(self) -> str:
        return _("Tempo by day, from {first} to {last}; the goal is {goal}.").format(
            first=f"{self.first:.0f}", last=f"{self.last:.0f}", goal=self.goal
        )


def sparkline(tempos: Iterable[TempoPoint], goal: int, today: dt.date) -> Sparkline | None:
    """The last eight weeks, one tempo a day (the median); None with fewer than two such days."""
    a_day: defaultdict[int, list[int]] = defaultdict(list)
    for each in tempos:
        back = (today - each.date).days
        if 0 <= back <= REMEMBERED:
            a_day[-back].append(each.bpm)
    found = [(day, median(a_day[day])) for day in sorted(a_day)]
    if len(found) < 2:
        return None
    low = min(bpm for _, bpm in found)
    high = max(goal, *(bpm for _, bpm in found))
    span = max(1, high - low)
    begun = found[0][0]

    def x(day: int) -> float:
        return round(EDGE + (day - begun) / (found[-1][0] - begun) * (WIDTH - EDGE - FIGURES), 1)

    def y(bpm: float) -> float:
        return round(HEIGHT - EDGE - (bpm - low) / span * (HEIGHT - 2 * EDGE), 1)

    return Sparkline(
        points=tuple((x(day), y(bpm)) for day, bpm in found),
        goal=goal,
        goal_y=y(goal),
        first=found[0][1],
        last=found[-1][1],
    )
