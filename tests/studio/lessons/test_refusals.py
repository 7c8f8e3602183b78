"""Refusals of the calendar are told in the studio's own clock."""

from __future__ import annotations

import datetime as dt

import pytest

from studio.lessons.booking import Refused, check_free, instant
from studio.models import Lesson, Student
from tests import factories
from tests.factories import DAY


@pytest.mark.parametrize(
    ("clock_24h", "said"),
    [(True, ("16:15", "16:00 to 16:30")), (False, ("4:15 pm", "4:00 pm to 4:30 pm"))],
)
def test_two_lessons_at_once(student: Student, clock_24h: bool, said: tuple[str, str]) -> None:
    studio = student.family.studio
    studio.clock_24h = clock_24h
    studio.save()
    factories.LessonFactory.create(student=student, date=DAY, starts=dt.time(16), minutes=30)
    other = factories.StudentFactory.create(family__studio=studio, given_name="Bảo")
    wanted = Lesson(student=other, date=DAY, starts=dt.time(16, 15), minutes=30)
    with pytest.raises(Refused) as refused:
        check_free(studio, [wanted])
    assert all(each in str(refused.value) for each in said)


def test_the_hour_the_clocks_jump_over(student: Student) -> None:
    """Lisbon, 28 March 2027: from 1 to 2 o'clock (the last Sunday of March, EU 2000/84)."""
    studio = student.family.studio
    studio.clock_24h = False
    with pytest.raises(Refused, match="from 1:00 am to 2:00 am, so 1:30 am does not exist"):
        instant(studio, dt.date(2027, 3, 28), dt.time(1, 30))
