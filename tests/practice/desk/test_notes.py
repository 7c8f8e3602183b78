"""Lesson notes: private unless the teacher puts them on the sheet."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from practice.models import LessonNote
from practice.sheets.freeze import sheet_of
from studio.models import Student
from tests import factories
from tests.conftest import FrozenClock
from tests.factories import DAY
from tests.pages.filled import filled

pytestmark = pytest.mark.usefixtures("frozen")


def test_a_note_is_private_until_it_is_put_on_the_sheet(
    signed_in: Client, student: Student
) -> None:
    lesson = factories.LessonFactory.create(student=student)
    plan = factories.PlanFactory.create(assignment__student=student, assignment__lesson=lesson)
    address = reverse("desk:notes", args=[lesson.pk])
    assert signed_in.get(address).context["form"]["on_sheet"].value() == "no"
    signed_in.post(address, {"text": "Asked about vibrato.", "on_sheet": "no"})
    note = LessonNote.objects.get()
    assert not note.on_sheet
    assert "vibrato" in signed_in.get(address).content.decode()
    signed_in.post(reverse("desk:note-reader", args=[note.pk]))
    assert LessonNote.objects.filter(on_sheet=True).exists()
    signed_in.post(reverse("desk:note-remove", args=[note.pk]))
    assert not LessonNote.objects.exists()
    assert plan.assignment.lesson == lesson


def test_past_notes_are_reached_from_desk_student_and_calendar(
    signed_in: Client, student: Student, frozen: FrozenClock
) -> None:
    make = factories.LessonFactory.create
    today = make(student=student, date=DAY, starts=dt.time(9), status="kept")
    make(student=student, date=DAY, starts=dt.time(16))
    before = make(student=student, date=DAY - dt.timedelta(days=7), status="kept")
    LessonNote.objects.create(lesson=before, text="Thumb is soft now.")
    every = reverse("desk:notes-of", args=[student.pk])
    once = reverse("desk:notes", args=[before.pk])
    desk = signed_in.get(reverse("desk:today")).content.decode()
    assert every in desk
    assert reverse("desk:notes", args=[today.pk]) in desk
    own = signed_in.get(reverse("people:student", args=[student.pk])).content.decode()
    assert every in own
    assert once in own
    assert "Thumb is soft now." in own
    page = signed_in.get(every).content.decode()
    assert once in page
    assert "for you alone" in page
    lesson = signed_in.get(reverse("lessons:lesson", args=[before.pk])).content.decode()
    assert once in lesson


def test_all_notes_cost_as_many_queries_as_one(
    signed_in: Client, student: Student, django_assert_num_queries: Any
) -> None:
    def write() -> None:
        lesson = factories.LessonFactory.create(
            student=student, date=DAY - dt.timedelta(days=LessonNote.objects.count())
        )
        LessonNote.objects.create(lesson=lesson, text="Again.")

    address = reverse("desk:notes-of", args=[student.pk])
    write()
    signed_in.get(address)
    with django_assert_num_queries(5):
        signed_in.get(address)
    for _ in range(5):
        write()
    with django_assert_num_queries(5):
        signed_in.get(address)


def test_only_notes_for_the_sheet_are_printed(signed_in: Client, student: Student) -> None:
    lesson = factories.LessonFactory.create(student=student)
    factories.ScaleInHandFactory.create(student=student)
    page = signed_in.get(reverse("bench", args=[student.pk]))
    signed_in.post(reverse("bench-save", args=[student.pk]), filled(page.content, "bench"))
    for text, on_sheet in (("Bring the mute.", True), ("Seemed tired.", False)):
        LessonNote.objects.create(lesson=lesson, text=text, on_sheet=on_sheet)
    said = sheet_of(student.assignments.get()).also
    assert [card.text for card in said] == ["Bring the mute."]


def test_a_note_too_long_for_the_sheet_is_told(signed_in: Client, student: Student) -> None:
    lesson = factories.LessonFactory.create(student=student)
    address = reverse("desk:notes", args=[lesson.pk])
    page = signed_in.post(address, {"text": "a" * 241, "on_sheet": "yes"})
    assert page.status_code == 422
    assert "241 characters; 240 find room" in page.content.decode()
    assert signed_in.post(address, {"text": "", "on_sheet": "no"}).status_code == 422
    assert not LessonNote.objects.exists()


def test_another_studios_notes_are_not_there(signed_in: Client, other_student: Student) -> None:
    lesson = factories.LessonFactory.create(student=other_student)
    note = LessonNote.objects.create(lesson=lesson, text="Theirs.")
    assert signed_in.get(reverse("desk:notes", args=[lesson.pk])).status_code == 404
    assert signed_in.get(reverse("desk:notes-of", args=[other_student.pk])).status_code == 404
    for name in ("desk:note-reader", "desk:note-remove"):
        assert signed_in.post(reverse(name, args=[note.pk])).status_code == 404
    assert LessonNote.objects.filter(on_sheet=False).count() == 1


def test_notes_of_earlier_years_wait_behind_a_link(signed_in: Client, student: Student) -> None:
    for number in range(22):
        lesson = factories.LessonFactory.create(
            student=student, date=DAY - dt.timedelta(days=7 * number)
        )
        LessonNote.objects.create(lesson=lesson, text=f"Note {number}.")
    where = reverse("desk:notes-of", args=[student.pk])
    page = signed_in.get(where).content.decode()
    assert ("Note 19." in page, "Note 20." in page) == (True, False)
    page = signed_in.get(f"{where}?before=all").content.decode()
    assert "Note 21." in page
    assert "?before=all" not in page
