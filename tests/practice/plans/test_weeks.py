import datetime as dt

import pytest

from practice.plans.weeks import usual_minutes, week_at_hand
from studio.models import Lesson, Student
from tests.factories import DAY, AssignmentFactory, LessonFactory

pytestmark = pytest.mark.django_db
ONE = dt.timedelta(days=1)


def test_a_week_starts_the_day_after_the_lesson_of_today(student: Student) -> None:
    lesson = LessonFactory.create(student=student, date=DAY)
    week = week_at_hand(student, DAY)
    assert (week.starts, week.lesson) == (DAY + ONE, lesson)
    assert week.days == tuple(DAY + n * ONE for n in range(1, 8))


def test_without_a_lesson_it_starts_today(student: Student) -> None:
    week = week_at_hand(student, DAY)
    assert (week.starts, week.lesson, week.lessons) == (DAY, None, ())


def test_two_days_after_the_lesson_it_is_still_that_week(student: Student) -> None:
    LessonFactory.create(student=student, date=DAY)
    assert week_at_hand(student, DAY + 2 * ONE).starts == DAY + ONE


def test_before_the_next_lesson_the_running_week_is_shown(student: Student) -> None:
    AssignmentFactory.create(student=student, starts=DAY - 6 * ONE)
    LessonFactory.create(student=student, date=DAY + ONE)
    assert week_at_hand(student, DAY).starts == DAY - 6 * ONE


def test_on_the_day_of_the_lesson_the_next_week_is_shown(student: Student) -> None:
    AssignmentFactory.create(student=student, starts=DAY - 6 * ONE)
    LessonFactory.create(student=student, date=DAY)
    assert week_at_hand(student, DAY).starts == DAY + ONE


def test_a_lesson_that_was_cancelled_starts_nothing(student: Student) -> None:
    status = Lesson.Status.CANCELLED_BY_FAMILY
    LessonFactory.create(student=student, date=DAY, status=status)
    assert week_at_hand(student, DAY).starts == DAY


def test_lessons_inside_the_week_are_known(student: Student) -> None:
    LessonFactory.create(student=student, date=DAY)
    inside = LessonFactory.create(student=student, date=DAY + 7 * ONE)
    LessonFactory.create(student=student, date=DAY + 8 * ONE)
    assert week_at_hand(student, DAY).lessons == (inside,)


def test_budgets_follow_the_weekdays_of_the_routine(student: Student) -> None:
    student.minutes_wed, student.minutes_thu, student.minutes_sun = 10, 25, 0
    week = week_at_hand(student, DAY)  # DAY is a Wednesday
    assert usual_minutes(student, week) == (10, 25, 20, 20, 0, 20, 20)
