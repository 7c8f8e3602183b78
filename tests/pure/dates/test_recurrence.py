import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.dates.recurrence import Weekly, change_from

YEAR = (dt.date(2026, 1, 1), dt.date(2026, 12, 31))
days = st.dates(dt.date(2026, 1, 1), dt.date(2027, 12, 31))


def test_weekly_for_ten_occurrences_as_in_rfc_5545() -> None:
    # RFC 5545 section 3.8.5.3: weekly from 2 September 1997, ten times.
    weekly = Weekly(1, dt.date(1997, 9, 2), dt.date(1997, 11, 4))
    assert [day.isoformat() for day in weekly.days(dt.date(1997, 1, 1), dt.date(1998, 1, 1))] == [
        "1997-09-02", "1997-09-09", "1997-09-16", "1997-09-23", "1997-09-30",
        "1997-10-07", "1997-10-14", "1997-10-21", "1997-10-28", "1997-11-04",
    ]  # fmt: skip


def test_every_other_week_as_in_rfc_5545() -> None:
    # RFC 5545 section 3.8.5.3: every other week on Tuesday from 2 September 1997.
    every_other = Weekly(1, dt.date(1997, 9, 2), every_weeks=2)
    found = every_other.days(dt.date(1997, 9, 1), dt.date(1997, 12, 31))
    assert [day.isoformat() for day in found] == [
        "1997-09-02", "1997-09-16", "1997-09-30", "1997-10-14", "1997-10-28",
        "1997-11-11", "1997-11-25", "1997-12-09", "1997-12-23",
    ]  # fmt: skip


def test_a_closed_day_drops_out_and_does_not_shift_the_turn() -> None:
    fortnightly = Weekly(1, dt.date(2026, 9, 1), every_weeks=2)
    closed = [(dt.date(2026, 9, 14), dt.date(2026, 9, 18))]
    found = fortnightly.days(dt.date(2026, 9, 1), dt.date(2026, 10, 15), closed)
    assert found == [dt.date(2026, 9, 1), dt.date(2026, 9, 29), dt.date(2026, 10, 13)]


@given(st.integers(0, 6), days, st.integers(1, 4), days, days)
def test_days_fall_on_the_weekday_in_the_step_and_inside_the_stretch(
    weekday: int, first_day: dt.date, every: int, starts: dt.date, ends: dt.date
) -> None:
    weekly = Weekly(weekday, first_day, every_weeks=every)
    found = weekly.days(starts, ends)
    plain = [
        day
        for day in (first_day + dt.timedelta(days=n) for n in range(800))
        if day.weekday() == weekday
    ][::every]
    assert found == [day for day in plain if starts <= day <= ends]


@pytest.mark.parametrize(
    ("bad", "sentence"),
    [
        ({"weekday": 7, "first_day": YEAR[0]}, "7 is no weekday"),
        ({"weekday": 0, "first_day": YEAR[0], "every_weeks": 0}, "Every 0 weeks"),
        ({"weekday": 0, "first_day": YEAR[1], "last_day": YEAR[0]}, "2026-01-01 lies before"),
    ],
)
def test_an_impossible_time_is_refused(bad: dict[str, object], sentence: str) -> None:
    with pytest.raises(ValueError, match=sentence):
        Weekly(**bad)  # type: ignore[arg-type]


def test_a_fortnightly_time_that_changes_its_weekday_keeps_its_turn() -> None:
    old = Weekly(1, dt.date(2026, 9, 1), every_weeks=2)  # 1, 15, 29 September …
    new = change_from(old, Weekly(3, dt.date(2026, 9, 1), every_weeks=2), dt.date(2026, 9, 7))
    assert new.days(*YEAR)[:2] == [dt.date(2026, 9, 17), dt.date(2026, 10, 1)]


def test_a_new_step_counts_from_the_day_of_the_change() -> None:
    old = Weekly(1, dt.date(2026, 9, 1))
    new = change_from(old, Weekly(1, dt.date(2026, 9, 1), every_weeks=2), dt.date(2026, 9, 8))
    assert new.days(*YEAR)[:2] == [dt.date(2026, 9, 8), dt.date(2026, 9, 22)]
