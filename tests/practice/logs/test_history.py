import datetime as dt

import pytest

from practice.logs.history import history_of, last_week, last_weeks
from practice.models import Assignment
from practice.planning.types import Logged
from studio.models import Student
from tests import factories
from tests.factories import DAY

pytestmark = pytest.mark.django_db
STARTS = DAY - dt.timedelta(days=6)  # the week before the one that starts tomorrow
NEXT = DAY + dt.timedelta(days=1)


@pytest.fixture
def week(student: Student) -> Assignment:
    """Scale on five days, etude on three of them, explore on one."""
    assignment = factories.AssignmentFactory.create(
        student=student, starts=STARTS, minutes=[20, 20, 20, 0, 20, 20, 0]
    )
    plan = factories.PlanFactory.create(assignment=assignment)
    for number in (0, 1, 2, 4, 5):
        day = STARTS + dt.timedelta(days=number)
        make = factories.ItemFactory.create
        make(plan=plan, date=day, key="scale:1", part="scale", minutes=6)
        if number < 3:
            make(plan=plan, date=day, key="etude:1", part="etude", minutes=4)
    factories.ItemFactory.create(plan=plan, date=STARTS, key="explore", part="explore", minutes=2)
    return assignment


def log(assignment: Assignment, key: str, number: int, **values: object) -> None:
    item = assignment.plan.items.get(key=key, date=STARTS + dt.timedelta(days=number))
    factories.LogEntryFactory.create(item=item, **{"minutes": item.minutes, **values})


def test_minutes_logged_and_planned_of_the_week(week: Assignment) -> None:
    for number in (0, 1, 2, 4):
        log(week, "scale:1", number)
    log(week, "etude:1", 0, minutes=9)
    found = last_week(week.student, NEXT)
    assert found is not None
    assert (found.logged, found.planned, found.heard) == (33, 44, True)


def test_what_was_left_out_on_days_with_practice_is_told_in_days(week: Assignment) -> None:
    for number in (0, 1, 2, 4):
        log(week, "scale:1", number)
    log(week, "etude:1", 0)
    found = last_week(week.student, NEXT)
    assert found is not None
    assert [each.words for each in found.left_out] == ["Etude, 2 of 3 days"]


def test_ticked_as_not_done_is_left_out(week: Assignment) -> None:
    for number in (0, 1, 2, 4, 5):
        log(week, "scale:1", number)
    for number in (0, 1):
        log(week, "etude:1", number)
    log(week, "etude:1", 2, done=False)
    found = last_week(week.student, NEXT)
    assert found is not None
    assert [each.words for each in found.left_out] == ["Etude, 1 of 3 days"]
    assert found.logged == 38


def test_explore_is_never_left_out(week: Assignment) -> None:
    log(week, "scale:1", 0)
    found = last_week(week.student, NEXT)
    assert found is not None
    assert "explore" not in {each.part.value for each in found.left_out}
    assert "explore" not in history_of(week.student, NEXT).left_out


def test_a_family_that_sends_nothing_left_nothing_out(week: Assignment) -> None:
    found = last_week(week.student, NEXT)
    assert found is not None
    assert (found.heard, found.logged, found.left_out) == (False, 0, ())
    assert history_of(week.student, NEXT).left_out == ()


def test_the_builder_hears_what_was_not_played_at_all(week: Assignment) -> None:
    log(week, "scale:1", 0)
    assert history_of(week.student, NEXT).left_out == ("etude:1",)
    log(week, "etude:1", 2)
    assert history_of(week.student, NEXT).left_out == ()


def test_the_builder_hears_minutes_as_logged(week: Assignment) -> None:
    log(week, "etude:1", 1, minutes=30)
    assert history_of(week.student, NEXT).logged == (
        Logged(STARTS + dt.timedelta(days=1), "etude:1", 30),
    )


def test_days_without_minutes_were_days_off(week: Assignment) -> None:
    off = tuple(STARTS + dt.timedelta(days=number) for number in (3, 6))
    assert history_of(week.student, NEXT).days_off == off


def test_no_week_before_is_no_week(student: Student) -> None:
    assert last_week(student, NEXT) is None


def test_weeks_of_many_students_take_two_queries(
    week: Assignment, django_assert_num_queries: object
) -> None:
    students = [week.student_id]
    for _ in range(4):
        other = factories.AssignmentFactory.create(starts=STARTS)
        factories.ItemFactory.create(
            plan=factories.PlanFactory.create(assignment=other), date=STARTS
        )
        students.append(other.student_id)
    with django_assert_num_queries(2):  # type: ignore[operator]
        found = last_weeks(students, NEXT)
    assert set(found) == set(students)
