"""The method of largest remainders, against published apportionments."""

from __future__ import annotations

from fractions import Fraction
from math import ceil, floor

import pytest
from hypothesis import given
from hypothesis import strategies as st

from practice.planning.shares import shares

US_1790 = (
    [630560, 475327, 432879, 353523, 331589, 278514, 236841, 206236, 179570]
    + [141822, 85533, 70835, 68705, 68446, 55540],
    60,
    [11, 8, 7, 6, 6, 5, 4, 3, 3, 2, 1, 1, 1, 1, 1],
)
# electowiki.org, "Hamilton method" (US 1790) and "Alabama paradox"; M. Birgen, Math of Democracy,
# section Apportionment (awoi, nurses, faculty): read. Parties: encyclopaedia article on the
# method, Hare column: from memory. Weights of the Alabama pair are times ten.
PUBLISHED = {
    "US 1790": US_1790,
    "awoi": ([69000, 267000, 133000, 331000], 160, [14, 53, 27, 66]),
    "nurses": ([871, 1029, 610, 190], 175, [56, 67, 40, 12]),
    "faculty": ([3292, 1524, 4162, 2132, 13890], 250, [33, 15, 42, 21, 139]),
    "Alabama 323": ([567, 385, 42, 6], 323, [183, 124, 14, 2]),
    "Alabama 324": ([567, 385, 42, 6], 324, [184, 125, 13, 2]),
    "parties": ([47000, 16000, 15900, 12000, 6100, 3100], 10, [5, 2, 1, 1, 1, 0]),
}
weights_and_bounds = st.lists(
    st.tuples(st.integers(1, 90), st.integers(0, 6), st.integers(0, 60)), min_size=1, max_size=14
)


@pytest.mark.parametrize("name", PUBLISHED)
def test_published_apportionments_come_out(name: str) -> None:
    weights, total, expected = PUBLISHED[name]
    assert shares(total, weights) == expected


def test_equal_remainders_go_to_the_first_listed() -> None:
    assert shares(7, [1, 1, 1]) == [3, 2, 2]
    assert shares(8, [1, 1, 1]) == [3, 3, 2]


def test_bounds_hold_and_what_they_free_goes_by_weight() -> None:
    assert shares(20, [1, 1, 2], least=[6, 0, 0]) == [6, 5, 9]
    assert shares(20, [1, 1, 2], most=[20, 20, 4]) == [8, 8, 4]
    assert shares(12, [10, 30, 60, 40], least=[1, 1, 2, 2], most=[4, 10, 4, 12]) == [1, 3, 4, 4]


def test_bounds_that_cannot_hold_the_total_are_refused() -> None:
    with pytest.raises(ValueError, match="5 does not lie between 6 and 9"):
        shares(5, [1, 1], least=[3, 3], most=[4, 5])


def exact_shares(
    total: int, weights: list[int], least: list[int], most: list[int]
) -> list[Fraction]:
    """The level at which weight times level, held between the bounds, sums to the total."""

    def held(level: Fraction) -> list[Fraction]:
        return [
            max(Fraction(low), min(Fraction(high), weight * level))
            for weight, low, high in zip(weights, least, most, strict=True)
        ]

    def total_at(level: Fraction) -> Fraction:
        return sum(held(level), Fraction(0))

    corners = sorted(
        {
            Fraction(bound, weight)
            for bounds in (least, most)
            for bound, weight in zip(bounds, weights, strict=True)
        }
    )
    below = max((level for level in corners if total_at(level) <= total), default=Fraction(0))
    above = [level for level in corners if level > below]
    rise = total_at(above[0]) - total_at(below) if above else Fraction(0)
    if not rise:
        return held(below)
    return held(below + (total - total_at(below)) / rise * (above[0] - below))


@given(weights_and_bounds, st.integers(0, 10_000))
def test_each_share_is_its_exact_share_rounded_down_or_up(
    parts: list[tuple[int, int, int]], pick: int
) -> None:
    weights = [weight for weight, _, _ in parts]
    least = [low for _, low, _ in parts]
    most = [low + more for _, low, more in parts]
    total = sum(least) + pick % (sum(most) - sum(least) + 1)
    given_out = shares(total, weights, least, most)
    assert sum(given_out) == total
    for share, exact in zip(given_out, exact_shares(total, weights, least, most), strict=True):
        assert floor(exact) <= share <= ceil(exact)


@given(weights_and_bounds, st.integers(0, 10_000))
def test_one_more_changes_a_share_by_at_most_one(
    parts: list[tuple[int, int, int]], pick: int
) -> None:
    weights = [weight for weight, _, _ in parts]
    least = [low for _, low, _ in parts]
    most = [low + more + 1 for _, low, more in parts]
    total = sum(least) + pick % (sum(most) - sum(least))
    before = shares(total, weights, least, most)
    after = shares(total + 1, weights, least, most)
    assert all(abs(new - old) <= 1 for old, new in zip(before, after, strict=True))
