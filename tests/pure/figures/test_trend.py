"""Theil-Sen against Sen's own example, other published data and scipy."""

from __future__ import annotations

import random

import pytest
from scipy import stats

from practice.figures.trend import theil_sen

# Sen (1968), worked example; data and values as in scipy's own tests, which cite the paper.
SEN = list(zip([1, 2, 3, 4, 10, 12, 18], [9, 15, 19, 20, 45, 55, 78], strict=True))
# Hollander and Wolfe, cloud-seeding double ratios; from memory, slope reproduced by scipy.
CLOUDS = list(zip([1, 2, 3, 4, 5], [1.26, 1.27, 1.12, 1.16, 1.03], strict=True))
# Anscombe (1973), first set; data from memory.
ANSCOMBE = list(
    zip(
        [10, 8, 13, 9, 11, 14, 6, 4, 12, 7, 5],
        [8.04, 6.95, 7.58, 8.81, 8.33, 9.96, 7.24, 4.26, 10.84, 4.82, 5.68],
        strict=True,
    )
)


def test_the_example_of_the_paper_comes_out() -> None:
    trend = theil_sen(SEN, confidence=0.93)
    assert trend is not None
    assert trend.slope == 4
    assert (trend.low, trend.high) == (26 / 7, 35 / 8)
    assert trend.level == 6


def test_a_narrower_confidence_narrows_the_interval() -> None:
    trend = theil_sen(SEN, confidence=0.90)
    assert trend is not None
    assert (trend.low, trend.high) == (3.75, 46 / 11)


def test_the_cloud_seeding_slope_comes_out() -> None:
    trend = theil_sen(CLOUDS)
    assert trend is not None
    assert trend.slope == pytest.approx(-0.05625)


@pytest.mark.parametrize("points", [SEN, CLOUDS, ANSCOMBE])
@pytest.mark.parametrize("confidence", [0.5, 0.8, 0.9, 0.95, 0.99])
def test_slope_interval_and_level_agree_with_scipy(
    points: list[tuple[float, float]], confidence: float
) -> None:
    trend = theil_sen(points, confidence)
    assert trend is not None
    x, y = zip(*points, strict=True)
    theirs = stats.theilslopes(y, x, alpha=1 - confidence, method="joint")
    assert trend.slope == pytest.approx(theirs.slope)
    assert (trend.low, trend.high) == pytest.approx((theirs.low_slope, theirs.high_slope))
    assert trend.level == pytest.approx(theirs.intercept)


def test_whole_tempos_with_ties_agree_with_scipy() -> None:
    chance = random.Random(1968)
    for _ in range(60):
        days = sorted(chance.choices(range(40), k=chance.randint(4, 25)))
        points = [(day, round(60 + day / 2 + chance.gauss(0, 4))) for day in days]
        trend = theil_sen(points, 0.8)
        if trend is None:
            assert len(set(days)) == 1
            continue
        x, y = zip(*points, strict=True)
        theirs = stats.theilslopes(y, x, alpha=0.2, method="joint")
        assert (trend.slope, trend.low, trend.high, trend.level) == pytest.approx(
            (theirs.slope, theirs.low_slope, theirs.high_slope, theirs.intercept)
        )


def test_one_wild_value_does_not_bend_the_line() -> None:
    steady = [(day, 60 + day) for day in range(12)]
    wild = [*steady[:5], (5, 300), *steady[6:]]
    trend = theil_sen(wild)
    assert trend is not None
    assert trend.slope == pytest.approx(1, abs=0.05)


def test_points_on_one_day_have_no_slope() -> None:
    assert theil_sen([(3, 60), (3, 66)]) is None
    assert theil_sen([]) is None
    assert theil_sen([(3, 60)]) is None


def test_the_order_of_the_points_does_not_matter() -> None:
    assert theil_sen(SEN) == theil_sen(SEN[::-1])
