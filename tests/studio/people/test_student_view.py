"""A student's own page and what changes a student."""

from __future__ import annotations

import datetime as dt

import pytest
from django.test import Client
from pytest_django import DjangoAssertNumQueries

from studio.models import Student
from tests.conftest import FrozenClock
from tests.factories import (
    DAY,
    EtudeInHandFactory,
    FavouriteFactory,
    LessonFactory,
    PieceInHandFactory,
    ScaleInHandFactory,
    SlotFactory,
    SpotFactory,
    StudentFactory,
)

pytestmark = pytest.mark.usefixtures("frozen")


def page_of(client: Client, student: Student) -> str:
    response = client.get(f"/students/{student.pk}/")
    assert response.status_code == 200
    return " ".join(response.content.decode().split())


def test_a_new_student_is_told_what_comes_first(signed_in: Client, student: Student) -> None:
    page = page_of(signed_in, student)
    assert "Nothing in hand yet" in page
    assert f"/students/{student.pk}/pieces/give/" in page
    assert "No lesson planned yet" in page


def test_the_page_gathers_what_is_known(signed_in: Client, student: Student) -> None:
    StudentFactory.create(family=student.family, given_name="Kofi")
    piece = PieceInHandFactory.create(student=student, note="first line")
    SpotFactory.create(piece=piece)
    PieceInHandFactory.create(student=student, stage="finished", finished=DAY)
    ScaleInHandFactory.create(student=student)
    EtudeInHandFactory.create(student=student)
    FavouriteFactory.create(student=student)
    for days in (-7, 0, 7, 14, 21, 28):
        LessonFactory.create(student=student, date=DAY + dt.timedelta(days=days))
    page = page_of(signed_in, student)
    for words in ("first line", "G major", "lines 1 and 2", "Ode to Joy", "Tomás", "Kofi"):
        assert words in page
    assert "Wed 25 Nov" in page  # today's lesson is still to come
    assert "Wed 18 Nov" not in page
    assert "Wed 16 Dec" not in page  # three are enough


def test_pausing_waits_and_coming_back_goes_on(signed_in: Client, student: Student) -> None:
    signed_in.post(f"/students/{student.pk}/pause/")
    student.refresh_from_db()
    assert student.status == "paused"
    assert "Go on with lessons" in page_of(signed_in, student)
    signed_in.post(f"/students/{student.pk}/come-back/")
    student.refresh_from_db()
    assert student.status == "learning"


def test_leaving_keeps_the_day_and_warns_of_a_standing_time(
    signed_in: Client, student: Student
) -> None:
    SlotFactory.create(studio=student.family.studio, students=[student])
    url = f"/students/{student.pk}/leave/"
    page = signed_in.post(url, {"day": "2026-11-20"}, follow=True).content.decode()
    student.refresh_from_db()
    assert (student.status, student.left) == ("left", dt.date(2026, 11, 20))
    assert "Imani’s weekly lesson time still stands" in page
    assert "Welcome back" in page


def test_a_time_that_has_ended_needs_no_warning(signed_in: Client, student: Student) -> None:
    ended = DAY - dt.timedelta(days=1)
    SlotFactory.create(studio=student.family.studio, students=[student], last_day=ended)
    page = signed_in.post(f"/students/{student.pk}/pause/", follow=True).content.decode()
    assert "still stands" not in page


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("2026-01-11", "11 January 2026 lies before the first day, 12 January 2026."),
        ("2026-11-26", "26 November 2026 is still to come."),
        ("soon", "“soon” is not a day."),
        ("", "Last day is missing."),
    ],
)
def test_a_last_day_that_cannot_be_is_explained(
    signed_in: Client, student: Student, typed: str, sentence: str
) -> None:
    response = signed_in.post(f"/students/{student.pk}/leave/", {"day": typed})
    page = response.content.decode()
    assert response.status_code == 422
    assert sentence in page
    assert f'value="{typed}"' in page or not typed
    student.refresh_from_db()
    assert student.status == "learning"


def test_today_is_the_day_of_the_studio_not_of_the_server(
    signed_in: Client, student: Student, frozen: FrozenClock
) -> None:
    studio = student.family.studio
    studio.zone = "Pacific/Kiritimati"  # 14 hours ahead of UTC, so it is the 26th there
    studio.save()
    response = signed_in.post(f"/students/{student.pk}/leave/", {"day": "2026-11-26"})
    assert response.status_code == 302


def test_the_page_asks_as_often_with_much_in_hand(
    signed_in: Client, student: Student, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    def fill() -> None:
        piece = PieceInHandFactory.create(student=student, stage="finished", finished=DAY)
        FavouriteFactory.create(student=student, work=piece.work)
        ScaleInHandFactory.create(student=student, until=DAY)
        EtudeInHandFactory.create(student=student, until=DAY)
        LessonFactory.create(student=student, date=DAY + dt.timedelta(days=piece.pk))
        StudentFactory.create(family=student.family)

    PieceInHandFactory.create(student=student)
    fill()
    # Session, user; student; guardians, siblings, slots, lessons; the notes
    # and the lesson for a new one; and eight on the repertoire.
    with django_assert_num_queries(17):
        page_of(signed_in, student)
    for _ in range(5):
        fill()
    with django_assert_num_queries(17):
        page_of(signed_in, student)
