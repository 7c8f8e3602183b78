import datetime as dt

import pytest

from practice.models import Assignment
from practice.plans.generate import Wanted, past_of, store, week_inputs
from practice.plans.hand import hand_of
from practice.plans.weeks import week_from
from practice.sheets.data import SheetData
from practice.sheets.freeze import freeze, sheet_of
from studio.models import Student
from tests import factories
from tests.factories import DAY

pytestmark = pytest.mark.django_db
STARTS = DAY + dt.timedelta(days=1)


@pytest.fixture
def assignment(student: Student) -> Assignment:
    factories.ScaleInHandFactory.create(student=student)
    row = factories.AssignmentFactory.create(student=student, starts=STARTS)
    hand, week = hand_of(student), week_from(student, STARTS)
    inputs = week_inputs(student, week, hand, Wanted(tuple(row.minutes)), past_of(student, STARTS))
    row.plan = store(row, inputs, hand, None)
    return row


def test_printing_twice_is_one_edition(assignment: Assignment) -> None:
    first = freeze(assignment.plan, sheet_of(assignment))
    second = freeze(assignment.plan, sheet_of(assignment))
    assert (first.pk, first.edition) == (second.pk, 1)


def test_another_content_is_another_edition(assignment: Assignment) -> None:
    freeze(assignment.plan, sheet_of(assignment))
    assignment.listen_for = "The bow arm."
    assert freeze(assignment.plan, sheet_of(assignment)).edition == 2


def test_an_old_sheet_says_what_it_said(assignment: Assignment) -> None:
    before = sheet_of(assignment)
    old = freeze(assignment.plan, before)
    assignment.student.given_name = "Somebody else"
    assignment.student.save()
    assignment.student.scales.update(key="C major")
    freeze(assignment.plan, sheet_of(assignment))
    old.refresh_from_db()
    assert SheetData.from_json(old.data) == before
