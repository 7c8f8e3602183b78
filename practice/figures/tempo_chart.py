"""Tempo lines in millimetres, one under the other, each rising to its dashed goal."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from practice.figures.tempo_lines import TempoLine
from studio.language import gettext as _
from studio.language import pgettext

WIDTH, EACH, RIGHT = 98.0, 24.0, 76.0
TITLE_AT, TOP, BASE = 4.2, 9.5, 19.0
LONGEST = 42  # letters of a title that fit, wide ones among them


@dataclass(frozen=True)
class TempoRow:
    """`points` are x and y of each week, `path` joins them; `ring` is where the goal was reached.

    `goal` and `end` are the words at the right: the end says that it is reached or the last tempo.
    `first_at` is where the first tempo is written.
    """

    title: str
    title_y: float
    goal: str
    goal_y: float
    goal_text_y: float
    end: str
    end_y: float
    base_y: float
    path: str
    points: tuple[tuple[float, float], ...]
    ring: tuple[float, float] | None
    first: int
    first_at: tuple[float, float]


@dataclass(frozen=True)
class TempoChart:
    width: float
    height: float
    right: float
    rows: tuple[TempoRow, ...]
    first_week: str
    last_week: str


def tempo_chart(lines: Sequence[TempoLine], weeks: int) -> TempoChart:
    """`weeks` is how many the term has; all lines share its width, from first to last week."""
    return TempoChart(
        width=WIDTH,
        height=EACH * len(lines) + 3,
        right=RIGHT,
        rows=tuple(_row(line, EACH * number, weeks) for number, line in enumerate(lines)),
        first_week=_week(1),
        last_week=_week(weeks),
    )


def _row(line: TempoLine, down: float, weeks: int) -> TempoRow:
    low = min(each.bpm for each in line.tempos)
    high = max(line.goal, *(each.bpm for each in line.tempos))
    low -= max(4, (high - low) // 8)

    def x(week: int) -> float:
        return round(9 + (week - 1) / max(1, weeks - 1) * (RIGHT - 13), 2)

    def y(bpm: int) -> float:
        return round(down + BASE - (BASE - TOP) * (bpm - low) / (high - low), 2)

    points = tuple((x(each.week), y(each.bpm)) for each in line.tempos)
    goal_y, reached = y(line.goal), line.reached
    return TempoRow(
        title=_short(line.title, line.detail),
        title_y=round(down + TITLE_AT, 2),
        goal=_("goal {tempo}").format(tempo=line.goal),
        goal_y=goal_y,
        goal_text_y=round(goal_y + 1.4, 2),
        end=pgettext("a goal", "reached")
        if reached
        else _("last {tempo}").format(tempo=line.last.bpm),
        end_y=round(goal_y + 6.4 if reached else max(goal_y + 6.4, points[-1][1] + 1.4), 2),
        base_y=round(down + BASE + 1.5, 2),
        path="M" + "L".join(f"{across} {up}" for across, up in points),
        points=points,
        ring=(x(reached.week), y(reached.bpm)) if reached else None,
        first=line.first.bpm,
        first_at=(round(points[0][0] - 2.2, 2), round(points[0][1] + 1.4, 2)),
    )


def _week(number: int) -> str:
    return _("week {number}").format(number=number)


def _short(title: str, detail: str) -> str:
    """The bars are kept whole; the title gives way, with … as a sign of it."""
    end = f", {detail}" if detail else ""
    room = LONGEST - len(end)
    return (title if len(title) <= room else f"{title[: room - 1].rstrip(' ,')}…") + end
