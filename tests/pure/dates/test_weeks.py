import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.dates.weeks import (
    add_months,
    days_between,
    iso_week_date,
    month_weeks,
    week_of,
    week_start,
)

# ISO 8601:2000 5.2.3.1 (first row), published tables of week dates (2004 to 2019), and two rows
# derived from the rule "week 1 holds the first Thursday".
ISO_WEEKS = [
    ("1985-04-12", "1985-W15-5"),
    ("2005-01-01", "2004-W53-6"),
    ("2005-01-02", "2004-W53-7"),
    ("2005-12-31", "2005-W52-6"),
    ("2006-01-01", "2005-W52-7"),
    ("2006-01-02", "2006-W01-1"),
    ("2006-12-31", "2006-W52-7"),
    ("2007-01-01", "2007-W01-1"),
    ("2008-12-28", "2008-W52-7"),
    ("2008-12-29", "2009-W01-1"),
    ("2012-12-31", "2013-W01-1"),
    ("2013-12-30", "2014-W01-1"),
    ("2014-12-29", "2015-W01-1"),
    ("2019-12-30", "2020-W01-1"),
    ("2020-12-31", "2020-W53-4"),
    ("2021-01-03", "2020-W53-7"),
    ("2026-12-31", "2026-W53-4"),
    ("2027-01-04", "2027-W01-1"),
]


@pytest.mark.parametrize(("day", "week_date"), ISO_WEEKS)
def test_week_dates_of_iso_8601(day: str, week_date: str) -> None:
    assert iso_week_date(dt.date.fromisoformat(day)) == week_date


@given(st.dates(dt.date(1990, 1, 1), dt.date(2090, 1, 1)), st.integers(0, 6))
def test_a_week_holds_its_day_and_begins_on_the_chosen_weekday(day: dt.date, first: int) -> None:
    week = week_of(day, first)
    assert day in week
    assert week[0].weekday() == first
    assert week[0] == week_start(day, first)
    assert week == days_between(week[0], week[-1])


@given(st.integers(1990, 2090), st.integers(1, 12), st.integers(0, 6))
def test_a_month_is_covered_by_as_few_whole_weeks_as_possible(
    year: int, month: int, first: int
) -> None:
    weeks = month_weeks(year, month, first)
    days = [day for week in weeks for day in week]
    assert days == days_between(days[0], days[-1])
    inside = [day for day in days if (day.year, day.month) == (year, month)]
    assert len(inside) == (add_months(inside[0], 1) - inside[0]).days
    assert all(any(day.month == month for day in week) for week in weeks)


def test_months_are_added_over_the_turn_of_the_year() -> None:
    assert add_months(dt.date(2026, 11, 30), 3) == dt.date(2027, 2, 1)
    assert add_months(dt.date(2026, 1, 5), -1) == dt.date(2025, 12, 1)


def test_no_days_between_a_day_and_an_earlier_one() -> None:
    assert days_between(dt.date(2026, 5, 2), dt.date(2026, 5, 1)) == []
