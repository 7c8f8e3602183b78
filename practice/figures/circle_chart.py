"""Where each key of the circle of fifths stands, in millimetres; minors are the inner ring."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass

from practice.figures.key_circle import PLACES, KeyHeld, Known, key_circle

SIZE = 78.0
RADIUS = {False: 31.0, True: 18.5}
WIDE, NARROWEST = {1: 1.0, 2: 1.0, 3: 0.82}, 0.62  # by letters, of the size of one
PEG = {False: (6.7, 5.2), True: (4.5, 3.8)}  # learnt or now, still to come


@dataclass(frozen=True)
class KeyPeg:
    """`x`, `y` and `radius` of the peg; `size` of its letters, whose line stands at `text_y`."""

    x: float
    y: float
    radius: float
    inner: float
    size: float
    text_y: float
    sign: str
    known: Known
    minor: bool


@dataclass(frozen=True)
class CircleChart:
    width: float
    height: float
    middle: float
    outer: float
    inner: float
    pegs: tuple[KeyPeg, ...]


def circle_chart(
    held: Iterable[KeyHeld], named: Callable[[str, bool], str] | None = None
) -> CircleChart:
    """`named` says what a sign ("E♭") is called, and that of a minor key; the sign itself if None.

    A name of more than two letters stands smaller.
    """
    return CircleChart(
        width=SIZE,
        height=SIZE,
        middle=SIZE / 2,
        outer=RADIUS[False],
        inner=RADIUS[True],
        pegs=tuple(
            _peg(
                each.place,
                each.minor,
                named(each.sign, each.minor) if named else each.sign,
                each.known,
            )
            for each in key_circle(held)
        ),
    )


def _peg(place: int, minor: bool, sign: str, known: Known) -> KeyPeg:
    angle = math.radians(360 / PLACES * place - 90)
    x = SIZE / 2 + RADIUS[minor] * math.cos(angle)
    y = SIZE / 2 + RADIUS[minor] * math.sin(angle)
    radius = PEG[minor][known == Known.TO_COME]
    size = radius * (0.95 if known != Known.TO_COME else 0.98)
    size = round(size * WIDE.get(len(sign), NARROWEST), 2)
    return KeyPeg(
        x=round(x, 2),
        y=round(y, 2),
        radius=radius,
        inner=round(radius - 1.4, 2),
        size=size,
        text_y=round(y + size * 0.35, 2),
        sign=sign,
        known=known,
        minor=minor,
    )
