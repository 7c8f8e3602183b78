"""The bucket of tries as pure arithmetic."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.access.limits import Limit, refilled, wait_seconds

TEN_IN_A_QUARTER = Limit(tries=10, seconds=900)


@pytest.mark.parametrize(
    ("left", "seconds_since", "expected"),
    [
        (0.0, 0, 0.0),
        (0.0, 90, 1.0),
        (0.0, 45, 0.5),
        (9.5, 900, 10.0),
        (4.0, -3600, 4.0),
    ],
    ids=["at once", "one refill", "half a refill", "never above full", "clock set back"],
)
def test_a_bucket_refills_evenly(left: float, seconds_since: float, expected: float) -> None:
    assert refilled(left, seconds_since, TEN_IN_A_QUARTER) == pytest.approx(expected)


@pytest.mark.parametrize(("left", "expected"), [(1.0, 0), (7.2, 0), (0.0, 90), (0.5, 45)])
def test_the_wait_is_until_one_whole_try_is_there(left: float, expected: int) -> None:
    assert wait_seconds(left, TEN_IN_A_QUARTER) == expected


@given(st.lists(st.integers(0, 600), min_size=1, max_size=200))
def test_no_rhythm_of_tries_beats_the_limit(pauses: list[int]) -> None:
    left, granted = float(TEN_IN_A_QUARTER.tries), 0
    for pause in pauses:
        left = refilled(left, pause, TEN_IN_A_QUARTER)
        if wait_seconds(left, TEN_IN_A_QUARTER) == 0:
            left, granted = left - 1, granted + 1
    assert granted <= 10 + sum(pauses) * 10 / 900 + 1e-6
