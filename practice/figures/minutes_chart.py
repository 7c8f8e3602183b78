"""The bars of a term in millimetres: six fills that differ in one colour, and the plan above."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from practice.figures.term_weeks import Into, Off, WeekMinutes
from studio.language import gettext as _

WIDTH, HEIGHT = 186.0, 55.0
LEFT, TOP, BASE = 12.0, 3.0, 48.0
STEPS = (5, 10, 20, 25, 50, 100, 200, 500, 1000, 2000, 5000)
MOST_LINES = 4  # above zero
NARROW = 7.0  # mm a week, below which not every week is numbered


@dataclass(frozen=True)
class Fill:
    """One rectangle: `solid` names its ground (paper, ink, accent); `lines` and `dots` are the
    path of what is drawn over it, empty for none."""

    into: Into
    x: float
    y: float
    width: float
    height: float
    solid: str
    lines: str = ""
    dots: str = ""


@dataclass(frozen=True)
class WeekBar:
    """`plan_y` is None where nothing was planned; `label` is empty where there is no room."""

    x: float
    middle: float
    width: float
    label: str
    fills: tuple[Fill, ...]
    plan_y: float | None
    rest: bool
    why: str


@dataclass(frozen=True)
class MinutesChart:
    width: float
    height: float
    left: float
    base: float
    grid: tuple[tuple[int, float], ...]  # of the scale, and the height they stand at
    bars: tuple[WeekBar, ...]
    legend: tuple[Fill, ...]
    axis: str  # what a bar stands for


def minutes_chart(
    weeks: Sequence[WeekMinutes],
    height: float = HEIGHT,
    labels: Sequence[str] = (),
    axis: str = "",
    unit: int = 1,
) -> MinutesChart:
    """`labels` stand below the bars in place of the numbers of the weeks, and `axis` says what they
    are; `unit` is how many minutes one of the scale is."""
    names = list(labels) or [str(week.number) for week in weeks]
    base = height - (HEIGHT - BASE)
    most = max([1, *(max(week.planned, week.total) for week in weeks)])
    steps = (each * unit for each in STEPS)
    step = next((each for each in steps if each * MOST_LINES >= most), most)
    top = step * -(-most // step)
    scale = (base - TOP) / top
    room = (WIDTH - LEFT) / max(1, len(weeks))
    every = max(1, -(-int(NARROW) // max(1, int(room))))
    return MinutesChart(
        width=WIDTH,
        height=height,
        left=LEFT,
        base=base,
        grid=tuple((each // unit, _mm(base - each * scale)) for each in range(0, top + 1, step)),
        bars=tuple(
            _bar(
                week,
                LEFT + room * number,
                room,
                base,
                scale,
                "" if number % every else names[number],
            )
            for number, week in enumerate(weeks)
        ),
        legend=tuple(_fill(into, 0, 0, 5.2, 5.2) for into in Into),
        axis=axis or _("week"),
    )


def _bar(
    week: WeekMinutes, x: float, room: float, base: float, scale: float, label: str
) -> WeekBar:
    width = min(14.0, room * 0.62)
    left, y = x + (room - width) / 2, base
    fills = []
    for into, minutes in zip(Into, week.played, strict=True):
        if minutes:
            y -= minutes * scale
            fills.append(_fill(into, left, y, width, minutes * scale))
    return WeekBar(
        x=_mm(left),
        middle=_mm(left + width / 2),
        width=_mm(width),
        label=label,
        fills=tuple(fills),
        plan_y=_mm(base - week.planned * scale) if week.planned else None,
        rest=week.off in (Off.CLOSED, Off.NOTHING),
        why=week.off.label if week.off == Off.CLOSED else "",
    )


def _fill(into: Into, x: float, y: float, width: float, height: float) -> Fill:
    solid = {Into.SCALE: "ink", Into.SPOTS: "accent"}.get(into, "paper")
    lines = dots = ""
    if into == Into.ETUDE:
        lines = _level(x, y, width, height)
    elif into == Into.RUN_THROUGH:
        lines = _slanted(x, y, width, height)
    elif into == Into.REST:
        dots = _dotted(x, y, width, height)
    return Fill(into, _mm(x), _mm(y), _mm(width), _mm(height), solid, lines, dots)


def _level(x: float, y: float, width: float, height: float) -> str:
    count = int((height - 0.3) / 1.05)
    return "".join(
        f"M{_mm(x)} {_mm(y + height - 1.05 * (n + 1) + 0.15)}h{_mm(width)}" for n in range(count)
    )


def _slanted(x: float, y: float, width: float, height: float) -> str:
    """Strokes rising to the right, cut at the edges."""
    strokes, start = [], 1.0 - height
    while start < width:
        x1, x2 = max(0.0, start), min(width, start + height)
        if x2 > x1:
            y1, y2 = y + height - (x1 - start), y + height - (x2 - start)
            strokes.append(f"M{_mm(x + x1)} {_mm(y1)}L{_mm(x + x2)} {_mm(y2)}")
        start += 1.5
    return "".join(strokes)


def _dotted(x: float, y: float, width: float, height: float) -> str:
    """Round dots of .36 mm radius in shifted rows."""
    dots, row, down = [], 0, y + height - 1
    while down > y + 0.5:
        across = x + 1 + (row % 2) * 0.9
        while across < x + width - 0.5:
            dots.append(f"M{_mm(across - 0.36)} {_mm(down)}a.36.36 0 1 0 .72 0a.36.36 0 1 0-.72 0z")
            across += 1.8
        down, row = down - 1.25, row + 1
    return "".join(dots)


def _mm(value: float) -> float:
    return round(value, 2)
