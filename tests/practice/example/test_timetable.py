"""The lessons of the cast, on every weekday that today can be. No database."""

import datetime as dt
from collections import defaultdict
from itertools import combinations
from zoneinfo import ZoneInfo

import pytest

from practice.example.build import student_row
from practice.example.cast import load_cast
from practice.example.lessons import Timetable, timetable
from practice.example.seasons import Year, year_around
from studio.dates.free import clash
from studio.lessons.models import Lesson
from studio.models import Family, Studio

MONDAY = dt.date(2026, 11, 23)
WEEK = [MONDAY + dt.timedelta(days=number) for number in range(7)]
Status = Lesson.Status


def made(today: dt.date) -> tuple[Year, Timetable]:
    cast, year = load_cast(), year_around(today)
    studio = Studio(name="Lantern Lane", teacher="Maeve", zone="Europe/Dublin")
    pupils = [
        (pupil, student_row(Family(studio=studio, name=each.name), pupil, year))
        for each in cast.households
        for pupil in each.students
    ]
    return year, timetable(studio, year, cast.teacher, pupils)


def all_of(table: Timetable) -> list[Lesson]:
    return [*table.lessons, *table.make_ups]


@pytest.mark.parametrize("today", WEEK, ids=lambda day: f"{day:%A}")
def test_today_has_about_six_lessons_some_taught_and_some_to_come(today: dt.date) -> None:
    _, table = made(today)
    lessons = [lesson for lesson in all_of(table) if lesson.date == today]
    standing = [lesson for lesson in lessons if not lesson.fell_out]
    assert 6 <= len(standing) <= 8
    assert [lesson.status for lesson in standing].count(Status.KEPT) == 2
    assert any(lesson.makes_up for lesson in standing)


@pytest.mark.parametrize("today", WEEK, ids=lambda day: f"{day:%A}")
def test_nobody_is_double_booked(today: dt.date) -> None:
    _, table = made(today)
    zone, by_day = ZoneInfo("Europe/Dublin"), defaultdict(list)
    slots = [slot for slot, _ in table.slots]
    for number, slot in enumerate(slots, start=1):
        slot.pk = number  # only saved slots tell which lessons are shared
    for lesson in all_of(table):
        lesson.slot = lesson.slot
        if not lesson.fell_out:
            by_day[lesson.date].append(lesson.booked(zone))
    pairs = [pair for booked in by_day.values() for pair in combinations(booked, 2)]
    assert len(pairs) > 500
    assert not [pair for pair in pairs if clash(*pair, dt.timedelta(minutes=20))]


@pytest.mark.parametrize("today", WEEK, ids=lambda day: f"{day:%A}")
def test_the_past_is_marked_and_the_future_is_open(today: dt.date) -> None:
    year, table = made(today)
    for lesson in all_of(table):
        if lesson.date < today:
            assert lesson.status != Status.PLANNED
        if lesson.date > today:
            assert lesson.status in {Status.PLANNED, Status.CANCELLED_BY_FAMILY}
        assert any(term.starts <= lesson.date <= term.ends for term in year.terms)
        assert not any(closed.starts <= lesson.date <= closed.ends for closed in year.closures)


@pytest.mark.parametrize("today", WEEK, ids=lambda day: f"{day:%A}")
def test_lessons_fell_out_both_ways_and_some_make_ups_are_still_owed(today: dt.date) -> None:
    _, table = made(today)
    lost = [lesson for lesson in table.lessons if lesson.fell_out]
    assert {lesson.status for lesson in lost} == {
        Status.MISSED,
        Status.CANCELLED_BY_FAMILY,
        Status.CANCELLED_BY_TEACHER,
    }
    made_up = [lesson.makes_up for lesson in table.make_ups]
    assert all(lesson is not None and lesson.make_up_owed for lesson in made_up)
    owed = [lesson for lesson in lost if lesson.make_up_owed and lesson not in made_up]
    in_time = [
        lesson for lesson in owed if lesson.make_up_until is None or lesson.make_up_until >= today
    ]
    assert 2 <= len(in_time) <= 4


@pytest.mark.parametrize("today", WEEK, ids=lambda day: f"{day:%A}")
def test_no_lesson_was_given_on_the_day_the_teacher_was_ill(today: dt.date) -> None:
    year, table = made(today)
    ill = load_cast().teacher.ill
    of_that_day = [each for each in all_of(table) if each.date == year.day(ill.week, ill.day)]
    assert len(of_that_day) == 3
    assert all(each.status == Status.CANCELLED_BY_TEACHER for each in of_that_day)


def test_fortnightly_online_and_shared_lessons_are_among_them() -> None:
    _, table = made(MONDAY)
    slots = table.slots
    assert [len(students) for _, students in slots].count(2) == 1
    assert [slot.every_weeks for slot, _ in slots].count(2) == 2
    assert [bool(slot.link) for slot, _ in slots].count(True) == 2
    assert any(lesson.moved_by_hand and not lesson.makes_up for lesson in table.lessons)
