"""Students come and go, and are found however their names are typed."""

from __future__ import annotations

import datetime as dt

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction

from studio.models import InstrumentSizeNote, Student, Studio
from tests.factories import DAY, FamilyFactory, GuardianFactory, StudentFactory


def test_pausing_and_coming_back(student: Student) -> None:
    student.pause()
    student.refresh_from_db()
    assert (student.status, student.left) == (Student.Status.PAUSED, None)
    student.come_back()
    student.refresh_from_db()
    assert student.status == Student.Status.LEARNING


def test_leaving_keeps_the_day_and_coming_back_drops_it(student: Student) -> None:
    student.leave(DAY)
    student.refresh_from_db()
    assert (student.status, student.left) == (Student.Status.LEFT, DAY)
    student.come_back()
    student.refresh_from_db()
    assert (student.status, student.left) == (Student.Status.LEARNING, None)


@pytest.mark.parametrize(
    "wrong",
    [
        {"status": "left"},
        {"left": DAY},
        {"status": "left", "left": dt.date(2026, 1, 11)},
        {"session_1": ""},
        {"session_3": "evening"},
        {"minutes_wed": 601},
    ],
)
def test_the_database_refuses_what_cannot_be(student: Student, wrong: dict[str, object]) -> None:
    with pytest.raises(IntegrityError), transaction.atomic():
        Student.objects.filter(pk=student.pk).update(**wrong)


def test_a_size_has_one_note_in_a_studio(studio: Studio) -> None:
    InstrumentSizeNote.objects.create(studio=studio, size="1/2", fits="56 cm and up")
    with pytest.raises(IntegrityError), transaction.atomic():
        InstrumentSizeNote.objects.create(studio=studio, size="1/2", fits="other")


def test_a_name_stands_on_one_line(student: Student) -> None:
    student.given_name = "Imani\nBcc: everybody"
    with pytest.raises(ValidationError, match="one line"):
        student.full_clean()


@pytest.mark.parametrize(
    ("born", "day", "age"),
    [
        (dt.date(2018, 11, 25), dt.date(2026, 11, 25), 8),
        (dt.date(2018, 11, 26), dt.date(2026, 11, 25), 7),
        (dt.date(2016, 2, 29), dt.date(2025, 2, 28), 8),
        (dt.date(2016, 2, 29), dt.date(2025, 3, 1), 9),
        (None, dt.date(2026, 11, 25), None),
    ],
)
def test_age_in_whole_years(born: dt.date | None, day: dt.date, age: int | None) -> None:
    assert Student(birth_date=born).age_on(day) == age


@pytest.fixture
def everybody(studio: Studio) -> None:
    for given, last, guardian in (
        ("Łucja", "Osei-Marchewka", "Kwabena Osei"),
        ("Nguyễn", "Bảo Châu", "Trần Mai"),
        ("Søren", "Yıldız", "Ane Etxeberria"),
    ):
        family = FamilyFactory.create(studio=studio, name=last)
        GuardianFactory.create(family=family, name=guardian)
        GuardianFactory.create(family=family, name=f"Aunt of {given}")
        StudentFactory.create(family=family, given_name=given, family_name=last)


@pytest.mark.usefixtures("everybody")
@pytest.mark.parametrize(
    ("words", "found"),
    [
        ("lucja", ["Łucja"]),
        ("ŁUCJA", ["Łucja"]),
        ("bao chau", ["Nguyễn"]),
        ("mai bao", ["Nguyễn"]),
        ("soren", ["Søren"]),
        ("yildiz", ["Søren"]),
        ("kwabena", ["Łucja"]),
        ("aunt", ["Nguyễn", "Søren", "Łucja"]),
        ("aunt of nobody", []),
        ("", ["Nguyễn", "Søren", "Łucja"]),
    ],
)
def test_every_word_must_occur_in_a_name_of_the_family(words: str, found: list[str]) -> None:
    assert sorted(student.given_name for student in Student.objects.named_like(words)) == found
