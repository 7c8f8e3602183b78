"""Hours by month as solid bars with their number on top, in millimetres."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from studio.language import gettext as _
from studio.language.numbers import number

WIDTH, HEIGHT = 186.0, 42.0
LEFT, TOP, BASE = 12.0, 6.0, 35.0


@dataclass(frozen=True)
class HoursBar:
    """`top` is the edge where its number stands; `said` is empty for a month without hours."""

    x: float
    middle: float
    width: float
    top: float
    height: float
    label: str
    said: str


@dataclass(frozen=True)
class HoursChart:
    width: float
    height: float
    left: float
    base: float
    bars: tuple[HoursBar, ...]
    axis: str  # what a bar stands for


def hours_chart(months: Sequence[tuple[str, int]]) -> HoursChart:
    """`months` are labels and minutes."""
    most = max([1, *(minutes for _, minutes in months)])
    room = (WIDTH - LEFT) / max(1, len(months))
    width = min(12.0, room * 0.62)
    bars = []
    for place, (label, minutes) in enumerate(months):
        x = LEFT + room * place + (room - width) / 2
        tall = (BASE - TOP) * minutes / most
        said = in_hours(minutes) if minutes else ""
        bars.append(
            HoursBar(
                x=_mm(x),
                middle=_mm(x + width / 2),
                width=_mm(width),
                top=_mm(BASE - tall),
                height=_mm(tall),
                label=label,
                said=said,
            )
        )
    return HoursChart(WIDTH, HEIGHT, LEFT, BASE, tuple(bars), _("month"))


def in_hours(minutes: int) -> str:
    """Hours with at most one decimal: "12", "7.5", "0.8"."""
    said = number(minutes / 60, ".1f")
    return said[:-2] if said.endswith("0") else said


def _mm(value: float) -> float:
    return round(value, 2)
