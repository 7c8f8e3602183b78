"""Weeks of a term and their minutes, by hand."""

import datetime as dt

import pytest

from practice.figures.term_weeks import Into, ItemMinutes, Off, minutes_by_week, weeks_of

MON, LAST = dt.date(2026, 9, 14), dt.date(2026, 10, 4)


def day(number: int) -> dt.date:
    return MON + dt.timedelta(days=number)


def test_a_term_of_whole_weeks() -> None:
    weeks = weeks_of(MON, LAST)
    assert [(week.number, week.starts, week.ends) for week in weeks] == [
        (1, day(0), day(6)),
        (2, day(7), day(13)),
        (3, day(14), day(20)),
    ]


def test_the_first_and_last_week_are_cut_at_the_term() -> None:
    weeks = weeks_of(day(2), day(8))
    assert [(week.starts, week.ends) for week in weeks] == [(day(2), day(6)), (day(7), day(8))]


def test_a_week_may_begin_on_sunday() -> None:
    weeks = weeks_of(MON, LAST, week_begins=6)
    assert [(week.starts, week.ends) for week in weeks][:2] == [(day(0), day(5)), (day(6), day(12))]


def test_weeks_follow_iso_8601_over_the_year() -> None:
    # ISO 8601 week dates: 2020-W53 runs from 28 December 2020 to 3 January 2021.
    weeks = weeks_of(dt.date(2020, 12, 28), dt.date(2021, 1, 10))
    assert [week.ends for week in weeks] == [dt.date(2021, 1, 3), dt.date(2021, 1, 10)]
    assert [week.starts.isocalendar().week for week in weeks] == [53, 1]


# First days of ISO weeks with the week each begins: ISO 8601 as told on public pages of the
# standard's examples (2009-W01 begins three days before the end of 2008, 2020 has 53 weeks).
EDGES = [
    ("2006-01-02", "2006-W01"),
    ("2007-01-01", "2007-W01"),
    ("2008-12-29", "2009-W01"),
    ("2012-12-31", "2013-W01"),
    ("2013-12-30", "2014-W01"),
    ("2014-12-29", "2015-W01"),
    ("2019-12-30", "2020-W01"),
    ("2027-01-04", "2027-W01"),
]


@pytest.mark.parametrize(("monday", "week"), EDGES)
def test_a_new_week_begins_where_iso_8601_says(monday: str, week: str) -> None:
    begins = dt.date.fromisoformat(monday)
    weeks = weeks_of(begins - dt.timedelta(days=9), begins + dt.timedelta(days=9))
    edge = next(each for each in weeks if each.starts == begins)
    assert edge.ends == begins + dt.timedelta(days=6)
    assert f"{edge.starts:%G-W%V}" == f"{edge.ends:%G-W%V}" == week
    assert weeks[edge.number - 2].ends == begins - dt.timedelta(days=1)


def test_minutes_go_to_their_week_and_part() -> None:
    items = [
        ItemMinutes(day(0), Into.SCALE, 10, 12),
        ItemMinutes(day(6), Into.SCALE, 10, 0),
        ItemMinutes(day(6), Into.SPOTS, 5, 5),
        ItemMinutes(day(7), Into.REST, 4, 4),
    ]
    one, two, three = minutes_by_week(weeks_of(MON, LAST), items, [], MON, LAST)
    assert (one.planned, one.played, one.total) == (25, (0, 12, 0, 5, 0, 0), 17)
    assert (two.planned, two.played) == (4, (0, 0, 0, 0, 0, 4))
    assert (three.planned, three.total, three.off) == (0, 0, Off.NOTHING)


def test_nothing_outside_the_term_or_after_the_day_counts() -> None:
    items = [ItemMinutes(day(n), Into.ETUDE, 10, 10) for n in (-1, 0, 9, 10, 21)]
    weeks = minutes_by_week(weeks_of(MON, LAST), items, [], MON, until=day(9))
    assert [week.total for week in weeks] == [10, 10, 0]


@pytest.mark.parametrize(
    ("closed", "came", "until", "reason"),
    [
        ([(day(9), day(9))], MON, LAST, Off.CLOSED),
        ([(day(0), day(6))], MON, LAST, Off.NOTHING),
        ([], day(14), LAST, Off.BEFORE),
        ([], MON, day(6), Off.TO_COME),
        ([], day(13), day(7), Off.NOTHING),
    ],
)
def test_why_the_second_week_is_empty(
    closed: list[tuple[dt.date, dt.date]], came: dt.date, until: dt.date, reason: Off
) -> None:
    assert minutes_by_week(weeks_of(MON, LAST), [], closed, came, until)[1].off is reason


def test_a_closed_week_with_practice_is_no_week_off() -> None:
    items = [ItemMinutes(day(8), Into.WARM_UP, 3, 0)]
    weeks = minutes_by_week(weeks_of(MON, LAST), items, [(day(7), day(13))], MON, LAST)
    assert weeks[1].off is None
