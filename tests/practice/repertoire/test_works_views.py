"""The list of works, a work's own page, works and ideas of the teacher's own."""

from __future__ import annotations

import datetime as dt

import pytest
from django.test import Client
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries

from practice.models import Idea, Work
from practice.repertoire.catalogue import load_catalogue
from studio.models import Student, Studio
from tests.factories import (
    DAY,
    EtudeInHandFactory,
    FavouriteFactory,
    IdeaFactory,
    PieceInHandFactory,
    StudentFactory,
    WorkFactory,
)

WORKS = "/repertoire/"


def titles(client: Client, query: str = "") -> list[str]:
    return [work.title for work in client.get(WORKS + query).context["page"]]


def test_an_empty_list_says_how_to_fill_it(signed_in: Client) -> None:
    assert "No works yet" in signed_in.get(WORKS).content.decode()


def test_a_search_without_result_offers_to_add_one(signed_in: Client) -> None:
    WorkFactory.create()
    assert "No work like that" in signed_in.get(f"{WORKS}?q=zebra").content.decode()


def test_each_row_says_how_sure_it_is(signed_in: Client, studio: Studio) -> None:
    WorkFactory.create(title="A", sure="memory")
    WorkFactory.create(title="B", sure="checked")
    WorkFactory.create(title="C", sure="own", studio=studio, catalogue_key="")
    page = signed_in.get(WORKS).content.decode()
    for words in ("from memory, please check", "checked against a source", "your own"):
        assert page.count(words) == 1
    assert titles(signed_in, "?own=1") == ["C"]


def test_the_list_is_filtered_by_what_the_teacher_asks(signed_in: Client) -> None:
    load_catalogue()
    found = signed_in.get(WORKS, {"kind": "etude", "technique": "trill", "from": "5", "to": "6"})
    works = list(found.context["page"])
    assert works
    for work in works:
        assert work.kind == "etude"
        assert "trill" in work.techniques
        assert work.difficulty in (5, 6)


def test_the_pages_of_a_long_list_keep_the_question(signed_in: Client) -> None:
    load_catalogue()
    page = signed_in.get(WORKS, {"kind": "etude", "page": "2"}).content.decode()
    assert "kind=etude&amp;page=1" in page
    assert "Page 2 of 2" in page
    assert signed_in.get(WORKS, {"page": "nonsense"}).status_code == 200


def test_htmx_gets_the_rows_alone(signed_in: Client) -> None:
    WorkFactory.create()
    page = signed_in.get(WORKS, headers={"HX-Request": "true"}).content.decode()
    assert "Minuet in G" in page
    assert "<html" not in page


@pytest.mark.parametrize("more", [0, 30])
def test_the_list_asks_as_often_for_few_works_as_for_many(
    signed_in: Client, more: int, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    WorkFactory.create_batch(1 + more)
    with django_assert_num_queries(3):  # session, user with studio, works
        signed_in.get(WORKS)


def test_a_work_tells_who_has_it(
    signed_in: Client, student: Student, other_student: Student
) -> None:
    work = WorkFactory.create()
    assert "None of your students" in signed_in.get(f"{WORKS}{work.pk}/").content.decode()
    for person in (student, other_student):
        PieceInHandFactory.create(student=person, work=work)
        EtudeInHandFactory.create(student=person, work=work)
        FavouriteFactory.create(student=person, work=work)
    page = signed_in.get(f"{WORKS}{work.pk}/").content.decode()
    assert page.count("Imani Okonkwo-Reyes") == 3
    assert "Sora" not in page


def test_a_work_of_her_own_is_written_down(signed_in: Client, studio: Studio) -> None:
    typed = {
        "title": "Tram No. Nine",
        "key": "bb major",
        "kind": "piece",
        "techniques": " slurs,  third   position,, slurs ",
        "difficulty": "3",
    }
    signed_in.post(f"{WORKS}add/", typed)
    work = Work.objects.get()
    assert (work.studio, work.sure, work.key) == (studio, "own", "B flat major")
    assert work.techniques == ["slurs", "third position"]


BAD_WORKS = [
    ("title", "", "Title is missing."),
    ("title", "x" * 300, "300 characters are too many; at most 160 fit."),
    ("key", "J major", "“J major” is not a key."),
    ("key", "G sharp major", "“G sharp major” is not a key."),
    ("kind", "opera", "opera is not one of the available choices"),
    ("difficulty", "11", "11 is too much; at most 10."),
    ("difficulty", "0", "0 is too little; at least 1."),
    ("difficulty", "hard", "“hard” is not a whole number."),
    ("techniques", "x" * 41, "is too long for one technique"),
    ("techniques", ",".join("abcdefghijklm"), "13 techniques are too many; at most 12."),
]


@pytest.mark.parametrize(("field", "typed", "sentence"), BAD_WORKS)
def test_a_work_that_cannot_be_is_explained_and_stays_typed(
    signed_in: Client, field: str, typed: str, sentence: str
) -> None:
    post = {"title": "Tram", "composer": "Kept Here", "kind": "piece"} | {field: typed}
    response = signed_in.post(f"{WORKS}add/", post)
    page = response.content.decode()
    assert response.status_code == 422
    assert sentence in page
    assert 'value="Kept Here"' in page
    assert response.context["form"][field].value() == typed
    assert not Work.objects.exists()


def test_a_row_of_the_catalogue_is_put_right_as_her_own(signed_in: Client, studio: Studio) -> None:
    row = WorkFactory.create(key="G major", techniques=["slurs", "trill"])
    form = signed_in.get(f"{WORKS}add/?like={row.pk}").context["form"]
    assert form["title"].value() == "Minuet in G"
    assert form["techniques"].value() == "slurs, trill"
    post = {"title": "Minuet in G", "kind": "piece", "key": "D minor"}
    signed_in.post(f"{WORKS}add/?like={row.pk}", post)
    row.refresh_from_db()
    assert row.key == "G major"
    assert studio.works.get().key == "D minor"


def test_her_own_work_is_changed_and_removed(signed_in: Client, studio: Studio) -> None:
    work = WorkFactory.create(studio=studio, catalogue_key="")
    signed_in.post(f"{WORKS}{work.pk}/edit/", {"title": "Tram No. Ten", "kind": "piece"})
    work.refresh_from_db()
    assert work.title == "Tram No. Ten"
    signed_in.post(f"{WORKS}{work.pk}/remove/")
    assert not Work.objects.exists()


def test_a_work_a_student_has_stays(signed_in: Client, student: Student) -> None:
    work = WorkFactory.create(studio=student.family.studio, catalogue_key="")
    PieceInHandFactory.create(student=student, work=work)
    page = signed_in.post(f"{WORKS}{work.pk}/remove/", follow=True).content.decode()
    assert "Minuet in G stays: a student has it or had it, or its notes are here." in page
    assert Work.objects.exists()


def test_the_catalogue_itself_cannot_be_changed_or_removed(signed_in: Client) -> None:
    work = WorkFactory.create()
    for page in ("edit", "remove"):
        assert signed_in.post(f"{WORKS}{work.pk}/{page}/").status_code == 404
    assert Work.objects.exists()


def test_ideas_of_her_own_stand_among_the_shared_ones(
    signed_in: Client, studio: Studio, other_studio: Studio
) -> None:
    shared = IdeaFactory.create()
    IdeaFactory.create(studio=other_studio, title="Secret of Per")
    signed_in.post(f"{WORKS}ideas/add/", {"title": "Echo", "text": "Play back what you hear."})
    own = Idea.objects.get(studio=studio)
    page = signed_in.get(f"{WORKS}ideas/").content.decode()
    assert shared.title in page
    assert "Play back what you hear." in page
    assert "Secret of Per" not in page
    signed_in.post(f"{WORKS}ideas/{own.pk}/edit/", {"title": "Echo", "text": "Answer it."})
    own.refresh_from_db()
    assert own.text == "Answer it."
    signed_in.post(f"{WORKS}ideas/{own.pk}/remove/")
    assert not Idea.objects.filter(studio=studio).exists()


def test_an_idea_too_long_for_a_sheet_is_refused(signed_in: Client) -> None:
    response = signed_in.post(f"{WORKS}ideas/add/", {"title": "Echo", "text": "x" * 300})
    assert response.status_code == 422
    assert "300 characters are too many; at most 240 fit." in response.content.decode()


def test_who_had_a_work_long_ago_waits_behind_a_link(signed_in: Client, studio: Studio) -> None:
    work = WorkFactory.create(studio=studio)
    for number in range(14):
        student = StudentFactory.create(family__studio=studio, given_name=f"Student{number:02}")
        day = DAY - dt.timedelta(days=100 * number)
        PieceInHandFactory.create(
            student=student, work=work, stage="finished", started=day, finished=day
        )
        EtudeInHandFactory.create(student=student, work=work, since=day, until=day)
    now = StudentFactory.create(family__studio=studio, given_name="Zoe")
    EtudeInHandFactory.create(student=now, work=work, since=DAY)
    where = reverse("repertoire:work", args=[work.pk])
    page = signed_in.get(where).content.decode()
    assert (page.count("Student11"), page.count("Student12")) == (2, 0)
    assert "Zoe" in page
    page = signed_in.get(f"{where}?before=all").content.decode()
    assert page.count("Student13") == 2
    assert "?before=all" not in page
