"""From when on a student has had which size of violin."""

from __future__ import annotations

import datetime as dt

import pytest
from django.forms import model_to_dict
from django.test import Client
from django.urls import reverse

from studio.models import SizeHeld, Student
from tests import factories
from tests.conftest import FrozenClock
from tests.factories import DAY

pytestmark = pytest.mark.usefixtures("frozen")


@pytest.fixture
def student(db: None) -> Student:
    made: Student = factories.StudentFactory.create(
        instrument_size="1/4", started=dt.date(2025, 9, 1)
    )
    return made


def held(student: Student) -> list[tuple[str, dt.date]]:
    return list(SizeHeld.objects.filter(student=student).values_list("size", "since"))


def resize(student: Student, size: str) -> None:
    student.instrument_size = size
    student.save()


def test_the_first_size_holds_from_the_first_day(student: Student) -> None:
    assert held(student) == [("1/4", dt.date(2025, 9, 1))]


def test_a_new_size_holds_from_the_day_it_is_changed(student: Student, frozen: FrozenClock) -> None:
    resize(student, "1/2")
    frozen.move(days=300)
    resize(student, "3/4")
    later = DAY + dt.timedelta(days=300)
    assert held(student) == [("1/4", dt.date(2025, 9, 1)), ("1/2", DAY), ("3/4", later)]


def test_saving_without_a_change_keeps_the_day(student: Student, frozen: FrozenClock) -> None:
    frozen.move(days=30)
    student.notes = "Left hand soft."
    student.save()
    student.pause()
    assert held(student) == [("1/4", dt.date(2025, 9, 1))]


def test_a_slip_put_right_the_same_day_leaves_no_trace(student: Student) -> None:
    resize(student, "4/4")
    resize(student, "1/2")
    assert held(student) == [("1/4", dt.date(2025, 9, 1)), ("1/2", DAY)]
    resize(student, "1/4")
    assert held(student) == [("1/4", dt.date(2025, 9, 1))]


def test_the_day_is_the_studios(student: Student, frozen: FrozenClock) -> None:
    student.family.studio.zone = "Asia/Tokyo"
    student.family.studio.save()
    frozen.set(dt.datetime(2026, 11, 25, 20, tzinfo=dt.UTC))
    resize(student, "1/2")
    assert held(student)[-1] == ("1/2", dt.date(2026, 11, 26))


def test_the_teachers_form_keeps_it(signed_in: Client, family: object) -> None:
    child = factories.StudentFactory.create(family=family, instrument_size="1/2")
    where = reverse("people:student_edit", args=[child.pk])
    form = {name: value for name, value in model_to_dict(child).items() if value is not None}
    answer = signed_in.post(where, {**form, "instrument_size": "3/4"})
    assert answer.status_code == 302
    assert [size for size, _ in held(child)] == ["1/2", "3/4"]
