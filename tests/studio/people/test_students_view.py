"""The roster: filter, search, fragment, what is in hand, and how often it asks the database."""

from __future__ import annotations

import pytest
from django.test import Client
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries

from studio.models import Student, Studio
from tests.factories import (
    DAY,
    EtudeInHandFactory,
    FamilyFactory,
    PieceInHandFactory,
    ScaleInHandFactory,
    SlotFactory,
    SpotFactory,
    StudentFactory,
    WorkFactory,
)

ROSTER = "/students/"


def names(client: Client, query: str = "") -> list[str]:
    return [student.given_name for student in client.get(ROSTER + query).context["rows"]]


def test_an_empty_studio_says_what_to_do_first(signed_in: Client) -> None:
    page = signed_in.get(ROSTER).content.decode()
    assert "Your studio begins with a family" in page
    assert reverse("people:family_add") in page


def test_those_who_learn_are_shown_first_and_counted(signed_in: Client, student: Student) -> None:
    StudentFactory.create(family=student.family, given_name="Kofi", status="paused")
    StudentFactory.create(family=student.family, given_name="Ama", status="left", left=DAY)
    assert names(signed_in) == ["Imani"]
    assert names(signed_in, "?show=paused") == ["Kofi"]
    assert names(signed_in, "?show=left") == ["Ama"]
    assert names(signed_in, "?show=all") == ["Ama", "Imani", "Kofi"]
    counts = [entry["count"] for entry in signed_in.get(ROSTER).context["filters"]]
    assert counts == [1, 1, 1, 3]


def test_an_unknown_filter_shows_those_who_learn(signed_in: Client, student: Student) -> None:
    assert names(signed_in, "?show=best") == ["Imani"]


def test_names_stand_in_order_whatever_their_accents(signed_in: Client, student: Student) -> None:
    for name in ("Łucja", "Zuri", "Şebnem"):
        StudentFactory.create(family=student.family, given_name=name)
    assert names(signed_in) == ["Imani", "Łucja", "Şebnem", "Zuri"]


def test_a_search_finds_by_guardian_and_tells_of_others(
    signed_in: Client, student: Student
) -> None:
    StudentFactory.create(family=student.family, given_name="Kofi", status="paused")
    response = signed_in.get(ROSTER, {"q": " TOMAS "})
    assert [found.given_name for found in response.context["rows"]] == ["Imani"]
    assert response.context["elsewhere"] == 1


@pytest.mark.parametrize("words", ["<b>x</b>", "\x00", "%", "'; drop table", "x" * 5000, "נועם"])
def test_a_search_for_nonsense_finds_nobody_and_breaks_nothing(
    signed_in: Client, student: Student, words: str
) -> None:
    response = signed_in.get(ROSTER, {"q": words})
    assert response.status_code == 200
    assert "<b>x</b>" not in response.content.decode()


def test_htmx_gets_the_rows_alone(signed_in: Client, student: Student) -> None:
    response = signed_in.get(ROSTER, {"q": "imani"}, headers={"HX-Request": "true"})
    page = response.content.decode()
    assert "Imani" in page
    assert "<html" not in page
    assert response.headers["Vary"].count("HX-Request") == 1


def test_a_row_tells_age_time_pieces_and_key(
    signed_in: Client, student: Student, frozen: object
) -> None:
    student.birth_date = DAY.replace(year=2018)
    student.save()
    SlotFactory.create(studio=student.family.studio, students=[student])
    piece = PieceInHandFactory.create(student=student, work=WorkFactory.create(title="Gavotte"))
    SpotFactory.create(piece=piece)
    SpotFactory.create(piece=piece, state="solved", solved=DAY)
    ScaleInHandFactory.create(student=student, key="B flat major")
    page = " ".join(signed_in.get(ROSTER).content.decode().split())
    for words in ("8, violin 4/4", "Wed <b>16:15</b>", "Gavotte", "1 spot<", "B flat major"):
        assert words in page


def test_times_follow_the_clock_of_the_studio(signed_in: Client, student: Student) -> None:
    studio = student.family.studio
    studio.clock_24h = False
    studio.save()
    SlotFactory.create(studio=studio, students=[student])
    assert "4:15 pm" in signed_in.get(ROSTER).content.decode()


def fill(studio: Studio, count: int) -> None:
    for _ in range(count):
        student = StudentFactory.create(family=FamilyFactory.create(studio=studio))
        SlotFactory.create(studio=studio, students=[student])
        piece = PieceInHandFactory.create(student=student)
        SpotFactory.create_batch(2, piece=piece)
        PieceInHandFactory.create(student=student, place=2)
        ScaleInHandFactory.create(student=student)
        EtudeInHandFactory.create(student=student)


# Session, user with studio; counts, students, slots; pieces, spots, scales, etudes.
ROSTER_QUERIES = 9


@pytest.mark.parametrize("count", [1, 12])
def test_the_roster_asks_the_database_as_often_for_one_as_for_many(
    signed_in: Client,
    studio: Studio,
    count: int,
    django_assert_num_queries: DjangoAssertNumQueries,
) -> None:
    fill(studio, count)
    with django_assert_num_queries(ROSTER_QUERIES):
        response = signed_in.get(ROSTER)
    assert len(response.context["rows"]) == count


@pytest.mark.parametrize("count", [1, 12])
def test_a_search_asks_for_the_names_and_the_others_besides(
    signed_in: Client,
    studio: Studio,
    count: int,
    django_assert_num_queries: DjangoAssertNumQueries,
) -> None:
    fill(studio, count)
    with django_assert_num_queries(ROSTER_QUERIES + 2):
        signed_in.get(ROSTER, {"q": "imani"})
