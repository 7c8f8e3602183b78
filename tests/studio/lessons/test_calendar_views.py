import datetime as dt

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from studio.lessons import schedule
from studio.lessons.week_page import month_page, week_page
from studio.models import BusyTime, Lesson, Slot, Student, Studio
from tests.factories import (
    DAY,
    ClosureFactory,
    LessonFactory,
    SlotFactory,
    StudentFactory,
    TermFactory,
)

pytestmark = pytest.mark.usefixtures("frozen")


def a_full_studio(studio: Studio, students: int) -> None:
    """Twelve lessons a day on five days, as many students as asked."""
    term = TermFactory.create(studio=studio)
    for number in range(students):
        student = StudentFactory.create(family__studio=studio, given_name=f"Student{number}")
        minute = 13 * 60 + 30 * (number % 12)
        SlotFactory.create(
            studio=studio,
            students=[student],
            weekday=number // 12,
            starts=dt.time(minute // 60, minute % 60),
        )
    assert not schedule.fill(studio, [term], dt.date(2026, 9, 14)).left_out


def asked(client: Client, address: str) -> int:
    with CaptureQueriesContext(connection) as queries:
        assert client.get(address).status_code == 200
    return len(queries)


def test_the_month_of_sixty_students_takes_at_most_eight_questions(
    signed_in: Client, studio: Studio
) -> None:
    a_full_studio(studio, 60)
    assert Lesson.objects.count() == 60 * 13
    assert asked(signed_in, "/calendar/month/2026/11/") <= 8


def test_the_week_takes_the_same_number_for_two_students_and_for_sixty(
    signed_in: Client, studio: Studio
) -> None:
    a_full_studio(studio, 2)
    few = asked(signed_in, reverse("lessons:calendar"))
    Slot.objects.all().delete()
    Lesson.objects.all().delete()
    studio.terms.all().delete()
    a_full_studio(studio, 60)
    assert asked(signed_in, reverse("lessons:calendar")) == few <= 11


def test_a_week_shows_lessons_where_they_are(
    signed_in: Client, studio: Studio, student: Student
) -> None:
    TermFactory.create(studio=studio)
    LessonFactory.create(student=student, date=DAY, starts=dt.time(16, 15))
    LessonFactory.create(student=student, date=DAY, starts=dt.time(17, 30), status="missed")
    week = week_page(studio, DAY, DAY)
    assert [hour.hour for hour in week.hours] == [15, 16, 17]
    wednesday = week.days[2]
    (block,) = wednesday.blocks
    assert (block.gap_hours, block.gap_minutes, block.drawn) == (1, 15, 30)
    assert [lost.names for lost in wednesday.lost] == ["Imani"]
    page = signed_in.get(reverse("lessons:week", args=[2026, 11, 25])).content.decode()
    assert 'class="block planned gh1 gm15 d30"' in page
    assert "23 to 29 November 2026" in page


def test_siblings_stand_in_one_block(studio: Studio, student: Student) -> None:
    brother = StudentFactory.create(family=student.family, given_name="Kofi")
    slot = SlotFactory.create(studio=studio, students=[student, brother])
    for one in (student, brother):
        LessonFactory.create(student=one, slot=slot)
    (block,) = week_page(studio, DAY, DAY).days[2].blocks
    assert block.names == "Imani and Kofi"


def test_busy_times_fill_what_lessons_leave(studio: Studio, student: Student) -> None:
    LessonFactory.create(student=student, date=DAY, starts=dt.time(16, 0))
    day = dt.datetime.combine(DAY, dt.time(), tzinfo=dt.UTC)
    for starts, ends in [(15.5, 16.75), (40, 41), (-12, -10)]:
        BusyTime.objects.create(
            studio=studio,
            what="Quartet",
            starts=day + dt.timedelta(hours=starts),
            ends=day + dt.timedelta(hours=ends),
        )
    week = week_page(studio, DAY, DAY)
    drawn = [(block.what or block.names, block.gap, block.drawn) for block in week.days[2].blocks]
    assert drawn == [("Quartet", 30, 75), ("Imani", 0, 5)]
    assert [len(day.blocks) for day in week.days] == [0, 0, 2, 1, 0, 0, 0]


@pytest.mark.parametrize(("first", "start"), [(0, 23), (6, 22), (5, 21)])
def test_the_week_begins_on_the_studios_day(studio: Studio, first: int, start: int) -> None:
    studio.week_start = first
    assert week_page(studio, DAY, DAY).days[0].date == dt.date(2026, 11, start)


def test_a_month_tells_closed_days_and_what_fell_out_in_order(
    studio: Studio, student: Student
) -> None:
    TermFactory.create(studio=studio)
    ClosureFactory.create(studio=studio, starts=dt.date(2026, 11, 16), ends=dt.date(2026, 11, 17))
    LessonFactory.create(student=student, starts=dt.time(18))
    LessonFactory.create(student=student, starts=dt.time(9), status="cancelled-family")
    weeks = month_page(studio, 2026, 11, DAY)
    days = {day.date: day for week in weeks for day in week}
    assert [day.closed for day in weeks[3]] == ["Half-term", "Half-term", "", "", "", "", ""]
    assert [block.starts for block in days[DAY].in_order] == [9 * 60, 18 * 60]
    assert days[DAY].today
    assert days[dt.date(2026, 12, 6)].outside
    assert days[DAY].in_term
    assert not month_page(studio, 2026, 12, DAY)[2][0].in_term  # 14 December, after the term


def test_another_studios_lessons_are_not_shown(
    signed_in: Client, studio: Studio, other_student: Student
) -> None:
    TermFactory.create(studio=studio)
    LessonFactory.create(student=other_student)
    for address in ["/calendar/", "/calendar/month/", "/calendar/day/2026/11/25/"]:
        assert "Sora" not in signed_in.get(address).content.decode()


def test_an_empty_studio_is_led_to_its_first_term(signed_in: Client, studio: Studio) -> None:
    page = signed_in.get(reverse("lessons:calendar")).content.decode()
    assert reverse("lessons:term-add") in page


def test_a_lesson_near_midnight_keeps_the_week_in_one_day(studio: Studio, student: Student) -> None:
    LessonFactory.create(student=student, starts=dt.time(23, 45), minutes=60)
    week = week_page(studio, DAY, DAY)
    assert week.closes == 24
    (block,) = week.days[2].blocks
    assert block.drawn == 15


def test_a_lesson_outside_every_term_is_in_the_calendar(signed_in: Client, studio: Studio) -> None:
    address = reverse("lessons:calendar")
    assert "The calendar begins with a term" in signed_in.get(address).content.decode()
    LessonFactory.create(student__family__studio=studio, student__given_name="Hinemoa")
    page = signed_in.get(address).content.decode()
    assert "Hinemoa" in page
    assert "The calendar begins with a term" not in page
