"""The record as its teacher reads it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.test import Client
from django.urls import reverse

from studio.record.models import By, RecordEntry, What
from studio.record.views import SHOWN, whence
from tests.factories import NOW

if TYPE_CHECKING:
    from pytest_django import DjangoAssertNumQueries, Settings

    from studio.models import Student, Studio

PAGE = "/settings/record/"


def line(studio: Studio | None, what: What = What.SIGNED_IN, **more: object) -> RecordEntry:
    values = {"by": By.TEACHER, "address": "192.168.1.20", "moment": NOW} | more
    return RecordEntry.objects.create(studio=studio, what=what, **values)


def test_every_kind_can_be_asked_for() -> None:
    shown = [what for _, kinds in SHOWN.values() for what in kinds]
    assert sorted(shown) == sorted(What)


def test_it_says_what_when_whom_and_from_where(signed_in: Client, student: Student) -> None:
    line(student.family.studio, What.REPORT_GIVEN, student=student, detail="edition 2")
    words = " ".join(signed_in.get(PAGE).content.decode().split())
    assert "Wednesday 25 November 2026" in words
    assert "<b>A report was given</b>, <bdi>Imani Okonkwo-Reyes</bdi>: edition 2" in words
    assert "you, from 192.168.1.20" in words


def test_another_studios_lines_stay_out(
    signed_in: Client, studio: Studio, other_student: Student
) -> None:
    line(other_student.family.studio, What.REPORT_GIVEN, student=other_student)
    line(None, What.SIGN_IN_FAILED, by=By.STRANGER)
    page = signed_in.get(PAGE).content.decode()
    assert "Nothing yet." in page


def test_alone_in_the_installation_she_sees_unknown_names_tried(
    signed_in: Client, studio: Studio, settings: Settings
) -> None:
    line(None, What.SIGN_IN_FAILED, by=By.STRANGER)
    assert "A sign-in failed" in signed_in.get(PAGE).content.decode()
    settings.MORE_STUDIOS = True
    assert "A sign-in failed" not in signed_in.get(PAGE).content.decode()


@pytest.mark.parametrize(("show", "found"), [("sign-ins", 1), ("backups", 1), ("", 2), ("\x00", 2)])
def test_one_kind_at_a_time(signed_in: Client, studio: Studio, show: str, found: int) -> None:
    line(studio)
    line(studio, What.BACKUP_MADE)
    answer = signed_in.get(reverse("record:record"), {"show": show})
    assert len(answer.context["rows"]) == found


def test_a_long_record_has_pages_and_no_more_queries(
    signed_in: Client, student: Student, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    for number in range(60):
        line(student.family.studio, What.REPORT_GIVEN, student=student, detail=f"line {number}")
    with django_assert_num_queries(5):
        first = signed_in.get(PAGE)
    assert len(first.context["rows"]) == 50
    later = signed_in.get(PAGE, {"page": "2"})
    assert "line 0<" in later.content.decode().replace("\n", "<")
    assert "Page 2 of 2" in later.content.decode()


@pytest.mark.parametrize(
    ("address", "words"),
    [
        ("127.0.0.1", "on this computer"),
        ("::1", "on this computer"),
        ("192.168.1.20", "from 192.168.1.20"),
        (None, ""),
    ],
)
def test_where_it_came_from(address: str | None, words: str) -> None:
    assert whence(address) == words
