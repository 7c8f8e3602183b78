"""The two kinds of year, month by month."""

from __future__ import annotations

import datetime as dt

import pytest

from practice.figures.hours_chart import BASE, hours_chart, in_hours
from practice.figures.years import calendar_year, school_year, school_year_of


def test_a_calendar_year_has_its_own_twelve_months() -> None:
    year = calendar_year(2024)
    assert (year.first, year.last) == (dt.date(2024, 1, 1), dt.date(2024, 12, 31))
    assert year.name == "Year 2024"
    # February of a leap year: common knowledge of the calendar.
    assert [(month.number, month.ends.day) for month in year.months][:3] == [
        (1, 31),
        (2, 29),
        (3, 31),
    ]


def test_a_school_year_runs_from_august_to_july() -> None:
    year = school_year(1999)
    assert (year.first, year.last) == (dt.date(1999, 8, 1), dt.date(2000, 7, 31))
    assert year.name == "School year 1999/00"
    assert [month.starts.month for month in year.months] == [8, 9, 10, 11, 12, 1, 2, 3, 4, 5, 6, 7]


@pytest.mark.parametrize("make", [calendar_year, school_year])
def test_months_follow_each_other_without_a_gap(make: type) -> None:
    year = make(2027)
    days = [
        month.starts + dt.timedelta(days=n)
        for month in year.months
        for n in range((month.ends - month.starts).days + 1)
    ]
    assert days == [year.first + dt.timedelta(days=n) for n in range(365 + len(days) % 365)]
    assert days[-1] == year.last


@pytest.mark.parametrize(
    ("day", "begins"),
    [("2026-07-31", 2025), ("2026-08-01", 2026), ("2026-12-31", 2026), ("2027-01-01", 2026)],
)
def test_the_school_year_of_a_day(day: str, begins: int) -> None:
    assert school_year_of(dt.date.fromisoformat(day)).year == begins


def test_bars_stand_on_the_axis_in_proportion() -> None:
    chart = hours_chart([("Aug", 90), ("Sep", 0), ("Oct", 180)])
    assert [bar.said for bar in chart.bars] == ["1.5", "", "3"]
    assert chart.bars[2].height == pytest.approx(2 * chart.bars[0].height, abs=0.02)
    assert {round(bar.top + bar.height, 1) for bar in chart.bars} == {BASE}
    assert chart.bars[-1].x + chart.bars[-1].width <= chart.width
    assert hours_chart([]).bars == ()


@pytest.mark.parametrize(("minutes", "words"), [(60, "1"), (45, "0.8"), (12600, "210")])
def test_hours_have_one_decimal_at_most(minutes: int, words: str) -> None:
    assert in_hours(minutes) == words
