"""The weeks of a student, and their sheets as they were printed."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from practice.models import Sheet
from studio.models import Student
from tests import factories
from tests.factories import DAY
from tests.pages.lesson import after_a_lesson
from tests.pages.test_bench import form_of, pdf_text, post

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("frozen")]


def address(student: Student) -> str:
    return reverse("weeks", args=[student.pk])


def week(student: Student, number: int) -> None:
    starts = DAY - dt.timedelta(days=7 * number)
    assignment = factories.AssignmentFactory.create(student=student, starts=starts)
    plan = factories.PlanFactory.create(assignment=assignment)
    for minutes in (20, 15):
        item = factories.ItemFactory.create(plan=plan, date=starts, minutes=minutes)
        factories.LogEntryFactory.create(item=item, minutes=minutes, done=minutes == 20)
    Sheet.objects.create(plan=plan, data={})


def test_without_a_week_it_says_what_belongs_here(signed_in: Client, student: Student) -> None:
    page = signed_in.get(address(student))
    assert "No week is decided yet" in page.content.decode()


def test_minutes_are_told_and_each_sheet_has_its_link(signed_in: Client, student: Student) -> None:
    week(student, 1)
    page = signed_in.get(address(student)).content.decode()
    assert "<b>20</b> of 35 minutes" in page
    assert reverse("sheet-edition", args=[student.assignments.get().pk, 1]) in page


def test_another_studios_student_is_not_there(signed_in: Client, other_student: Student) -> None:
    assert signed_in.get(address(other_student)).status_code == 404


def test_a_decided_week_can_be_printed_later(signed_in: Client, student: Student) -> None:
    after_a_lesson(student)
    post(signed_in, "bench-save", student, form_of(signed_in, student))
    assert not Sheet.objects.exists()
    assignment = student.assignments.get(starts__gt=DAY)
    assert "Print" in signed_in.get(address(student)).content.decode()
    answer = signed_in.post(reverse("sheet-print", args=[assignment.pk]))
    assert answer.status_code == 302
    assert "Imani" in pdf_text(signed_in.get(answer["Location"]).content)
    assignment.refresh_from_db()
    assert assignment.printed is not None


def test_a_week_without_a_sheet_has_no_pdf(signed_in: Client, student: Student) -> None:
    after_a_lesson(student)
    post(signed_in, "bench-save", student, form_of(signed_in, student))
    assignment = student.assignments.get(starts__gt=DAY)
    assert signed_in.get(reverse("sheet-pdf", args=[assignment.pk])).status_code == 404


def test_missing_print_libraries_are_explained(
    signed_in: Client, student: Student, monkeypatch: pytest.MonkeyPatch
) -> None:
    from studio.web.pdf import PrintingMissing

    def missing(_: object) -> bytes:
        raise PrintingMissing

    monkeypatch.setattr("practice.sheets.views.sheet_pdf", missing)
    answer = post(signed_in, "bench-print", student, form_of(signed_in, student))
    page = signed_in.get(answer.url)
    assert page.status_code == 503
    assert "sudo apt install libpango" in page.content.decode()
    assert "The week is saved." in page.content.decode()


def test_queries_do_not_grow_with_the_weeks(
    signed_in: Client, student: Student, django_assert_num_queries: Any
) -> None:
    for number in range(1, 16):
        week(student, number)
    with django_assert_num_queries(6):
        page = signed_in.get(address(student))
    assert page.content.decode().count("minutes heard of") == 15


def test_many_weeks_stand_on_pages(signed_in: Client, student: Student) -> None:
    for number in range(1, 22):
        week(student, number)
    first = signed_in.get(address(student)).content.decode()
    assert first.count("minutes heard of") == 20
    assert "Earlier weeks" in first
    assert "Later weeks" not in first
    second = signed_in.get(address(student), {"page": 2}).content.decode()
    assert second.count("minutes heard of") == 1
    assert "Later weeks" in second
    assert signed_in.get(address(student), {"page": "two"}).status_code == 200
