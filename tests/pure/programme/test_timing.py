"""Start times by hand, and what a teacher types as a length."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from practice.programme.timing import Timetable, guess, minutes, read, said, timetable, told


def test_start_times_by_hand() -> None:
    """90 s, change 30, 60 s, interval 600, 120 s: 0:00, 2:00, 3:00 interval, 13:00, ends 15:00."""
    assert timetable([90, 60, 120], 30, 2, 600) == Timetable((0, 120, 780), 180, 900)
    assert timetable([90, 60, 120], 30) == Timetable((0, 120, 210), None, 330)
    assert timetable([], 30, 2, 600) == Timetable((), None, 0)


@given(
    st.lists(st.integers(10, 3600), max_size=60),
    st.integers(0, 600),
    st.integers(0, 60),
    st.integers(0, 3600),
)
def test_the_whole_is_the_sum_of_its_parts(
    lengths: list[int], change: int, after: int, interval: int
) -> None:
    table = timetable(lengths, change, after, interval)
    has_interval = 0 < after < len(lengths)
    gaps = max(0, len(lengths) - 1)
    assert table.total == sum(lengths) + (gaps - has_interval) * change + has_interval * interval
    assert list(table.starts) == sorted(table.starts)
    assert (table.interval is not None) == has_interval


@pytest.mark.parametrize(
    ("typed", "seconds"),
    [
        ("2:30", 150),
        ("02:05", 125),
        ("2.30", 150),
        ("2’30", 150),
        ("2'30\"", 150),
        ("3", 180),
        (" 3 min ", 180),
        ("0:00", 0),
        ("2:60", None),
        ("2:3", None),
        ("-1:00", None),
        ("two", None),
        ("", None),
        ("1:02:03", None),
        ("٣:٣٠", 210),
    ],
)
def test_a_length_is_read_as_a_teacher_writes_it(typed: str, seconds: int | None) -> None:
    assert read(typed) == seconds


@given(st.integers(0, 5999))
def test_what_is_said_is_read_back(seconds: int) -> None:
    assert read(said(seconds)) == seconds


@pytest.mark.parametrize(
    ("seconds", "wished", "words"),
    [
        (3240, 60, "54 minutes in all, 6 fewer than the 60 you wish for."),
        (3601, 60, "61 minutes in all, 1 more than the 60 you wish for."),
        (3600, 60, "60 minutes in all, just what you wish for."),
        (60, 60, "1 minute in all, 59 fewer than the 60 you wish for."),
    ],
)
def test_the_total_against_the_wish(seconds: int, wished: int, words: str) -> None:
    assert told(timetable([seconds], 30), wished) == words
    assert minutes(seconds) * 60 >= seconds


def test_every_kind_of_work_has_a_guess() -> None:
    assert (guess("folk song"), guess("concerto movement"), guess("piece")) == (60, 360, 150)
