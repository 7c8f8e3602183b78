"""Which backups stay, as known lists and as laws."""

from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.backups.thinning import DUE_AFTER, fitting, is_due, kept

TODAY = dt.date(2026, 11, 25)  # a Wednesday


def at(day: str, hour: int = 17) -> dt.datetime:
    return dt.datetime.combine(dt.date.fromisoformat(day), dt.time(hour), tzinfo=dt.UTC)


def days_ago(n: int, hour: int = 17) -> dt.datetime:
    return dt.datetime.combine(TODAY - dt.timedelta(days=n), dt.time(hour), tzinfo=dt.UTC)


def test_two_days_keep_everything() -> None:
    made = [days_ago(n, hour) for n in range(3) for hour in (8, 12, 17)]
    assert kept(made, TODAY) == set(made)


def test_two_weeks_keep_the_last_of_each_day() -> None:
    made = [days_ago(n, hour) for n in range(3, 15) for hour in (8, 12, 17)]
    assert kept(made, TODAY) == {days_ago(n) for n in range(3, 15)}


RECENT = {days_ago(n) for n in range(7)}


def test_three_months_keep_the_last_of_each_week() -> None:
    made = [at("2026-11-01") + dt.timedelta(days=n) for n in range(-14, 9)]
    # Monday 19 October to Monday 9 November; a week ends on its Sunday.
    assert kept({*made, *RECENT}, TODAY) - RECENT == {
        at("2026-10-18"),
        at("2026-10-25"),
        at("2026-11-01"),
        at("2026-11-08"),
        at("2026-11-09"),
    }


def test_two_years_keep_the_last_of_each_month() -> None:
    made = [at("2025-01-01") + dt.timedelta(days=n) for n in range(120)]
    # Mondays of 2025: 27 January, 24 February and 31 March open the last weeks of their months.
    assert sorted(kept({*made, *RECENT}, TODAY) - RECENT) == [
        at("2025-01-05"),  # the week of Monday 30 December belongs to December
        at("2025-02-02"),
        at("2025-03-02"),
        at("2025-04-06"),
        at("2025-04-30"),
    ]


def test_what_is_older_than_two_years_goes_but_the_latest_seven_days_never() -> None:
    old = [at("2023-03-01"), at("2023-04-01")]
    assert kept({*old, *RECENT}, TODAY) == RECENT
    assert kept([*old, at("2023-04-01", 8), days_ago(0)], TODAY) == {*old, days_ago(0)}
    assert kept([], TODAY) == set()


@given(years=st.integers(1, 20), days=st.integers(1, 5))
def test_a_clock_that_was_years_ahead_for_some_days_costs_none_of_last_week(
    years: int, days: int
) -> None:
    made = {days_ago(n) for n in range(30)}
    ahead = dt.timedelta(days=365 * years)
    for later in range(days):
        made = kept({*made, days_ago(-later) + ahead}, TODAY + ahead + dt.timedelta(days=later))
    made = kept({*made, days_ago(-days)}, TODAY + dt.timedelta(days=days))
    # Of the latest seven days, those of the wrong clock took a place each.
    assert {days_ago(n) for n in range(7 - days)} <= made
    assert days_ago(-days) in made


def test_a_backup_from_a_day_to_come_stays() -> None:
    assert kept([days_ago(-400), days_ago(0)], TODAY) == {days_ago(-400), days_ago(0)}


def test_two_years_of_daily_backups_are_few() -> None:
    # 3 days, 12 days, the weeks of 31 August to 9 November, November 2024 to August 2026.
    assert len(kept([days_ago(n) for n in range(3000)], TODAY)) == 3 + 12 + 11 + 22


MOMENTS = st.sets(
    st.builds(
        lambda days, minutes: days_ago(days, 0) + dt.timedelta(minutes=minutes),
        st.integers(0, 800),
        st.integers(0, 24 * 60 - 1),
    ),
    max_size=60,
)


@given(made=MOMENTS, days=st.lists(st.integers(0, 900), max_size=6))
def test_thinning_every_day_ends_where_thinning_once_does(
    made: set[dt.datetime], days: list[int]
) -> None:
    often = made
    for later in sorted(days):
        often = kept(often, TODAY + dt.timedelta(days=later))
    last = TODAY + dt.timedelta(days=max(days, default=0))
    assert kept(often, last) == kept(made, last)


@given(made=MOMENTS)
def test_every_month_of_two_years_that_had_a_backup_has_one(made: set[dt.datetime]) -> None:
    def months(moments: set[dt.datetime]) -> set[tuple[int, int]]:
        mondays = {
            moment.date() - dt.timedelta(days=moment.weekday())
            for moment in moments
            if (TODAY - moment.date()).days <= 731
        }
        return {(day.year, day.month) for day in mondays}

    assert kept(made, TODAY) <= made
    assert months(kept(made, TODAY)) == months(made)


@pytest.mark.parametrize(
    ("ago", "due"),
    [
        ([], True),
        ([dt.timedelta(0)], False),
        ([DUE_AFTER - dt.timedelta(seconds=1)], False),
        ([DUE_AFTER], True),
        ([dt.timedelta(days=-1)], True),
        ([dt.timedelta(days=-1), dt.timedelta(hours=3)], False),
    ],
)
def test_when_one_is_due(ago: list[dt.timedelta], due: bool) -> None:
    now = days_ago(0)
    assert is_due([now - since for since in ago], now) is due


@pytest.mark.parametrize(
    ("sizes", "most", "count"),
    [([], 10, 0), ([4, 4, 4], 12, 3), ([4, 4, 4], 11, 2), ([40, 1], 10, 1), ([9, 2, 1], 10, 1)],
)
def test_how_many_fit(sizes: list[int], most: int, count: int) -> None:
    assert fitting(sizes, most) == count
