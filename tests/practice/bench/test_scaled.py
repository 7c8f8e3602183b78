"""The slider: another sum of minutes, the same shape of week."""

from hypothesis import given
from hypothesis import strategies as st

from practice.bench.page_form import scaled

weeks = st.lists(st.integers(0, 600), min_size=7, max_size=7).map(tuple)


def test_a_week_half_as_long_again() -> None:
    assert scaled((20, 20, 40, 0, 20, 20, 0), 180) == (30, 30, 60, 0, 30, 30, 0)


def test_the_same_sum_is_the_same_week() -> None:
    week = (25, 25, 35, 0, 25, 25, 10)
    assert scaled(week, 145) == week


def test_a_week_without_minutes_stays_without() -> None:
    assert scaled((0,) * 7, 100) == (0,) * 7


@given(weeks, st.integers(0, 5000))
def test_days_off_stay_off_and_no_day_is_lost_or_overfull(
    week: tuple[int, ...], total: int
) -> None:
    found = scaled(week, total)
    assert [bool(each) for each in found] == [bool(each) for each in week]
    assert all(each <= 600 for each in found)


@given(weeks.filter(any), st.data())
def test_the_sum_is_the_one_asked_for(week: tuple[int, ...], data: st.DataObject) -> None:
    days = sum(1 for each in week if each)
    total = data.draw(st.integers(days, 600 * days))
    assert sum(scaled(week, total)) == total
