"""The day as the Desk tells it."""

from __future__ import annotations

import datetime as dt

import pytest

from practice.desk.day import desk_day
from practice.models import Assignment, Word
from studio.models import Lesson, Student, Studio
from tests import factories
from tests.factories import DAY

WEEK = DAY - dt.timedelta(days=7)


def at(hour: int, minute: int = 0) -> dt.datetime:
    """That wall time in Lisbon on DAY, where winter is UTC."""
    return dt.datetime.combine(DAY, dt.time(hour, minute), tzinfo=dt.UTC)


def lesson(student: Student, hour: int, **values: object) -> Lesson:
    return factories.LessonFactory.create(student=student, starts=dt.time(hour), **values)


@pytest.fixture
def sibling(student: Student) -> Student:
    return factories.StudentFactory.create(family=student.family, given_name="Tomasz")


@pytest.fixture
def week(student: Student) -> Assignment:
    plan = factories.PlanFactory.create(
        assignment__student=student,
        assignment__starts=WEEK + dt.timedelta(days=1),
        assignment__to_check="Thumb creeping up?",
    )
    return plan.assignment


def test_the_next_lesson_is_the_first_that_is_not_over(
    studio: Studio, student: Student, sibling: Student
) -> None:
    lesson(student, 15)
    later = lesson(sibling, 16)
    day = desk_day(studio, at(15, 43))
    assert day.next is not None
    assert (day.next.lesson, day.until_next, day.taught) == (later, 17, 1)


def test_a_lesson_runs_until_its_last_minute(studio: Studio, student: Student) -> None:
    lesson(student, 15)
    running, over = desk_day(studio, at(15, 29)), desk_day(studio, at(15, 30))
    assert running.next is not None
    assert running.until_next == -29
    assert over.next is None


def test_a_decided_week_makes_room_for_the_next_lesson(
    studio: Studio, student: Student, sibling: Student
) -> None:
    lesson(student, 15)
    later = lesson(sibling, 16)
    factories.AssignmentFactory.create(student=student, starts=DAY + dt.timedelta(days=1))
    day = desk_day(studio, at(15, 10))
    assert day.next is not None
    assert day.next.lesson == later


def test_a_cancelled_lesson_is_neither_taught_nor_next(studio: Studio, student: Student) -> None:
    lesson(student, 15, status=Lesson.Status.CANCELLED_BY_FAMILY)
    day = desk_day(studio, at(14))
    assert (day.next, day.taught, len(day.lessons)) == (None, 0, 1)


def test_another_studios_lessons_are_out_of_sight(studio: Studio, other_student: Student) -> None:
    lesson(other_student, 15)
    assert desk_day(studio, at(14)).lessons == ()


def test_the_day_is_the_studios_own(studio: Studio, student: Student) -> None:
    studio.zone = "Pacific/Auckland"
    lesson(student, 9, date=DAY + dt.timedelta(days=1))
    assert len(desk_day(studio, at(20)).lessons) == 1


def test_what_home_says_and_what_she_meant_to_check(
    studio: Studio, student: Student, week: Assignment
) -> None:
    lesson(student, 15)
    make = Word.objects.create
    make(
        student=student, date=DAY - dt.timedelta(days=1), text="By Tuesday it sang.", source="home"
    )
    make(student=student, date=DAY - dt.timedelta(days=40), text="Old news.", source="home")
    each = desk_day(studio, at(14)).lessons[0]
    assert each.word is not None
    assert each.word.text == "By Tuesday it sang."
    assert each.to_check == "Thumb creeping up?"


def test_weeks_in_the_key_count_the_one_that_runs(studio: Studio, student: Student) -> None:
    lesson(student, 15)
    factories.ScaleInHandFactory.create(student=student, since=DAY - dt.timedelta(days=14))
    assert desk_day(studio, at(14)).lessons[0].weeks_in_key == 3


def test_the_tempo_of_a_spot_from_first_to_last(
    studio: Studio, student: Student, week: Assignment
) -> None:
    lesson(student, 15)
    spot = factories.SpotFactory.create(piece__student=student)
    for number, tempo in ((1, 52), (3, 56), (5, 60)):
        day = WEEK + dt.timedelta(days=number)
        item = factories.ItemFactory.create(
            plan=week.plan, date=day, spot=spot, part="spot", key=f"spot:{spot.pk}"
        )
        factories.LogEntryFactory.create(item=item, tempo=tempo)
    heard = desk_day(studio, at(14)).lessons[0].tempos
    assert [(each.first, each.last, each.goal) for each in heard] == [(52, 60, 80)]
