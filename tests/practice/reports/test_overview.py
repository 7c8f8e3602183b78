"""The list of a term: who is on it, and in which order."""

import datetime as dt
from typing import Any

import pytest

from practice.reports import editions
from practice.reports.overview import term_rows
from studio.models import Student, Studio, Term
from tests import factories
from tests.practice.reports.material import ENDS, STARTS


@pytest.fixture
def term(studio: Studio) -> Term:
    return factories.TermFactory.create(studio=studio)


def student(studio: Studio, name: str, **more: Any) -> Student:
    made: Student = factories.StudentFactory.create(
        family__studio=studio, given_name=name, family_name="", **more
    )
    return made


def names(term: Term) -> list[str]:
    return [row.student.given_name for row in term_rows(term)]


def test_students_stand_in_the_order_of_lessons(studio: Studio, term: Term) -> None:
    for name, day, hour in [("Wed late", 2, 18), ("Mon", 0, 16), ("Wed early", 2, 15)]:
        slot = factories.SlotFactory.create(studio=studio)
        date = STARTS + dt.timedelta(days=day)
        who = student(studio, name)
        factories.LessonFactory.create(student=who, slot=slot, date=date, starts=dt.time(hour))
        # A make-up on another day does not move her.
        factories.LessonFactory.create(
            student=who, date=STARTS + dt.timedelta(days=26 - hour), starts=dt.time(9)
        )
    student(studio, "Nobody’s hour")
    assert names(term) == ["Mon", "Wed early", "Wed late", "Nobody’s hour"]


def test_the_week_begins_as_the_studios_does(studio: Studio, term: Term) -> None:
    studio.week_start = 6
    studio.save()
    term.refresh_from_db()
    for name, day in [("Mon", 7), ("Sun", 6)]:
        who = student(studio, name)
        factories.LessonFactory.create(student=who, date=STARTS + dt.timedelta(days=day))
    assert names(term) == ["Sun", "Mon"]


def test_who_was_not_there_is_not_listed(
    studio: Studio, term: Term, other_student: Student
) -> None:
    student(studio, "Here")
    student(studio, "Paused", status="paused")
    student(studio, "Left before", status="left", left=STARTS - dt.timedelta(days=1))
    student(studio, "Left within", status="left", left=ENDS)
    student(studio, "Came later", started=ENDS + dt.timedelta(days=1))
    resting = student(studio, "Paused later", status="paused")
    for day in (0, 7):
        date = STARTS + dt.timedelta(days=day)
        factories.LessonFactory.create(student=resting, date=date, status="kept")
    assert sorted(names(term)) == ["Here", "Left within", "Paused later"]


def test_the_state_of_each(studio: Studio, term: Term) -> None:
    who = student(studio, "Imani")
    assert term_rows(term)[0].state == "none"
    editions.keep_words(term, who, "  ")
    assert term_rows(term)[0].state == "none"
    editions.keep_words(term, who, "She listens.")
    assert term_rows(term)[0].state == "words"


def test_queries_do_not_grow_with_the_students(
    studio: Studio, term: Term, django_assert_num_queries: Any
) -> None:
    for number in range(7):
        who = student(studio, f"S{number}")
        factories.LessonFactory.create(student=who, date=STARTS)
        editions.keep_words(term, who, "Words")
    with django_assert_num_queries(3):
        assert len(term_rows(term)) == 7
