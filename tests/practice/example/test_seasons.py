import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from practice.example.seasons import teaching_weekdays, year_around

DAYS = st.dates(dt.date(2024, 1, 1), dt.date(2040, 12, 31))


@given(today=DAYS, past_terms=st.integers(1, 40))
def test_today_lies_in_the_seventh_week_of_a_term_of_thirteen(
    today: dt.date, past_terms: int
) -> None:
    year = year_around(today, past_terms)
    term = year.terms[-1]
    assert term.starts.weekday() == 0
    assert (today - term.starts).days // 7 == 6
    assert (term.ends - term.starts).days == 13 * 7 - 1


@given(today=DAYS, past_terms=st.integers(1, 40))
def test_terms_follow_each_other_and_have_names_of_their_own(
    today: dt.date, past_terms: int
) -> None:
    terms = year_around(today, past_terms).terms
    assert len(terms) == past_terms + 1
    assert all(one.ends < two.starts for one, two in zip(terms, terms[1:], strict=False))
    assert len({term.name for term in terms}) == len(terms)


@given(today=DAYS)
def test_no_closure_takes_todays_lessons_or_those_of_the_weeks_beside_it(today: dt.date) -> None:
    week = dt.timedelta(weeks=1)
    for closure in year_around(today).closures:
        assert not closure.starts <= today + week or not closure.ends >= today - week


@given(today=DAYS)
def test_day_a_is_todays_weekday_and_the_others_are_school_days(today: dt.date) -> None:
    days = teaching_weekdays(today)
    assert days["A"] == today.weekday()
    assert len(set(days.values())) == 5
    assert all(days[letter] < 5 for letter in "BCDE")


@pytest.mark.parametrize(
    ("today", "name"),
    [
        (dt.date(2026, 11, 25), "Autumn 2026 term"),
        (dt.date(2026, 12, 21), "Winter 2026/27 term"),
        (dt.date(2027, 1, 20), "Winter 2026/27 term"),
        (dt.date(2027, 4, 7), "Spring 2027 term"),
        (dt.date(2099, 12, 25), "Winter 2099/00 term"),
    ],
)
def test_a_term_is_named_by_the_season_of_its_middle(today: dt.date, name: str) -> None:
    assert year_around(today).terms[-1].name == name
