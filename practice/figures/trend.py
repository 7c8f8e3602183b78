"""A straight trend that a few odd values cannot bend: the Theil-Sen slope and its interval.

P. K. Sen, Estimates of the regression coefficient based on Kendall's tau, Journal of the
American Statistical Association 63 (1968), 1379-1389; the interval is his equation 2.6 with
his correction for ties.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import combinations
from statistics import NormalDist, median

Point = tuple[float, float]


@dataclass(frozen=True)
class Trend:
    """y rises by `slope` with each x, and with the asked confidence by `low` to `high`.

    `level` is the y of the line at x = 0: the median of what the slope leaves.
    """

    slope: float
    low: float
    high: float
    level: float

    def at(self, x: float) -> float:
        return self.level + self.slope * x


def theil_sen(points: Sequence[Point], confidence: float = 0.95) -> Trend | None:
    """The median of all slopes between two points; None unless two points differ in x.

    `confidence` lies between 0 and 1. Work grows with the square of the number of points.
    """
    slopes = sorted(
        (second[1] - first[1]) / (second[0] - first[0])
        for first, second in combinations(points, 2)
        if first[0] != second[0]
    )
    if not slopes:
        return None
    slope = median(slopes)
    low, high = _interval(slopes, points, confidence)
    return Trend(slope, low, high, median(y - slope * x for x, y in points))


def _interval(
    slopes: Sequence[float], points: Sequence[Point], confidence: float
) -> tuple[float, float]:
    spread = NormalDist().inv_cdf((1 + confidence) / 2) * math.sqrt(_variance(points))
    low = round((len(slopes) - spread) / 2) - 1
    high = round((len(slopes) + spread) / 2)
    return slopes[max(0, low)], slopes[min(len(slopes) - 1, high)]


def _variance(points: Sequence[Point]) -> float:
    """Of Kendall's S under no trend, with ties in x and in y."""

    def tied(values: Iterable[float]) -> int:
        return sum(_ordered(count) for count in Counter(values).values())

    x, y = zip(*points, strict=True)
    return max(0, _ordered(len(points)) - tied(x) - tied(y)) / 18


def _ordered(count: int) -> int:
    return count * (count - 1) * (2 * count + 5)
