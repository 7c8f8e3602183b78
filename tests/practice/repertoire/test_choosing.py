"""Giving a piece, moving on to an etude or a scale, adding a favourite."""

from __future__ import annotations

import datetime as dt

import pytest
from django.test import Client
from pytest_django import DjangoAssertNumQueries

from practice.models import Work
from practice.repertoire.catalogue import load_catalogue
from studio.models import Student
from tests.factories import (
    DAY,
    EtudeInHandFactory,
    EtudeWorkFactory,
    FavouriteFactory,
    PieceInHandFactory,
    ScaleInHandFactory,
    WorkFactory,
)

pytestmark = pytest.mark.usefixtures("frozen")


def at(student: Student, page: str) -> str:
    return f"/students/{student.pk}/{page}/"


def test_a_piece_is_given_from_the_list(signed_in: Client, student: Student) -> None:
    work = WorkFactory.create()
    signed_in.post(at(student, "pieces/give"), {"work": work.pk})
    piece = student.pieces.get()
    assert (piece.work, piece.started, piece.stage) == (work, DAY, "reading")


def test_the_list_for_pieces_has_no_etudes_and_the_other_way_round(
    signed_in: Client, student: Student
) -> None:
    load_catalogue()
    for page, kinds in (("pieces/give", {"etude", "method"}), ("etude", {"piece", "sonata"})):
        found = signed_in.get(at(student, page), {"q": "a"}).context["found"]
        assert found
        assert not kinds & {work.kind for work in found}


def test_the_easiest_are_offered_first_and_the_rest_is_counted(
    signed_in: Client, student: Student
) -> None:
    load_catalogue()
    context = signed_in.get(at(student, "pieces/give")).context
    hard = [work.difficulty for work in context["found"]]
    assert hard == sorted(hard)
    assert len(hard) + context["more"] == Work.objects.exclude(kind__in=["etude", "method"]).count()


def test_a_third_piece_is_refused_where_it_was_chosen(signed_in: Client, student: Student) -> None:
    for place, title in enumerate(("Gavotte", "Csárdás"), start=1):
        PieceInHandFactory.create(
            student=student, place=place, work=WorkFactory.create(title=title)
        )
    third = WorkFactory.create(title="Humoresque")
    assert (
        "Two pieces are in hand already"
        in signed_in.get(at(student, "pieces/give")).content.decode()
    )
    response = signed_in.post(at(student, "pieces/give") + "?q=humor", {"work": third.pk})
    page = response.content.decode()
    assert response.status_code == 422
    assert "already has two pieces in hand, Gavotte and Csárdás" in page
    assert 'value="humor"' in page
    assert student.pieces.count() == 2


def test_a_new_piece_is_written_down_and_given_in_one_step(
    signed_in: Client, student: Student
) -> None:
    url = at(student, "pieces/give/new")
    assert signed_in.get(f"{url}?title=Tram").context["form"]["title"].value() == "Tram"
    signed_in.post(url, {"title": "Tram No. Nine", "kind": "piece", "key": "C major"})
    work = student.pieces.get().work
    assert (work.title, work.studio, work.sure) == ("Tram No. Nine", student.family.studio, "own")


def test_a_new_third_piece_is_refused_and_not_written_down(
    signed_in: Client, student: Student
) -> None:
    for place in (1, 2):
        PieceInHandFactory.create(student=student, place=place)
    response = signed_in.post(
        at(student, "pieces/give/new"), {"title": "Tram No. Nine", "kind": "piece"}
    )
    assert response.status_code == 422
    assert "already has two pieces in hand" in response.content.decode()
    assert 'value="Tram No. Nine"' in response.content.decode()
    assert not Work.objects.filter(title="Tram No. Nine").exists()


@pytest.mark.parametrize("page", ["pieces/give", "etude", "favourites/add"])
@pytest.mark.parametrize("work", ["", "x", "-1", "999999", "٣"])
def test_a_work_that_is_not_there_is_not_found(
    signed_in: Client, student: Student, page: str, work: str
) -> None:
    post = {"work": work, "since": "2026-11-25"}
    assert signed_in.post(at(student, page), post).status_code == 404


def test_an_etude_is_taken_with_its_words(signed_in: Client, student: Student) -> None:
    old = EtudeInHandFactory.create(student=student)
    work = EtudeWorkFactory.create()
    post = {"work": work.pk, "lines": "line 1", "cue": "wrist soft", "since": "2026-11-25"}
    signed_in.post(at(student, "etude"), post)
    old.refresh_from_db()
    now = student.etudes.get(until=None)
    assert (old.until, now.work, now.lines, now.cue) == (DAY, work, "line 1", "wrist soft")


def test_the_next_of_the_book_is_offered_first(signed_in: Client, student: Student) -> None:
    load_catalogue()
    third = Work.objects.get(catalogue_key="wohlfahrt-60-studies-op-45-no-3")
    EtudeInHandFactory.create(student=student, work=third)
    following = signed_in.get(at(student, "etude")).context["next"]
    assert [work.number for work in following] == ["4", "5", "6"]


@pytest.mark.parametrize(
    ("field", "typed", "sentence"),
    [
        ("since", "2026-11-26", "26 November 2026 is still to come."),
        ("since", "2026-11-03", "is in hand since 4 November 2026"),
        ("since", "", "From which day is missing."),
        ("lines", "x" * 300, "300 characters are too many; at most 80 fit."),
        ("cue", "two\nlines", "Write it on one line."),
    ],
)
def test_an_etude_that_cannot_be_is_explained_and_stays_typed(
    signed_in: Client, student: Student, field: str, typed: str, sentence: str
) -> None:
    EtudeInHandFactory.create(student=student)
    post = {"work": EtudeWorkFactory.create().pk, "lines": "line 1", "since": "2026-11-25"}
    response = signed_in.post(at(student, "etude"), post | {field: typed})
    assert response.status_code == 422
    assert sentence in response.content.decode()
    assert response.context["form"][field].value() == typed
    assert student.etudes.count() == 1


def test_a_new_etude_is_written_down_and_taken(signed_in: Client, student: Student) -> None:
    url = at(student, "etude/new")
    post = {"title": "Blue book", "number": "14", "kind": "method", "since": "2026-11-25"}
    signed_in.post(url, post | {"lines": "twice"})
    etude = student.etudes.get()
    assert (str(etude.work), etude.lines) == ("Blue book, no. 14", "twice")
    response = signed_in.post(url, post | {"title": "", "since": ""})
    assert response.status_code == 422
    assert response.content.decode().count("is missing.") == 4  # each in the summary and below


def test_a_finished_piece_is_offered_as_a_favourite(signed_in: Client, student: Student) -> None:
    piece = PieceInHandFactory.create(student=student, stage="finished", finished=DAY)
    kept = PieceInHandFactory.create(student=student, stage="finished", finished=DAY)
    FavouriteFactory.create(student=student, work=kept.work)
    url = at(student, "favourites/add")
    assert signed_in.get(url).context["learned"] == [piece.work]
    signed_in.post(url, {"work": piece.work_id})
    assert student.favourites.filter(work=piece.work).count() == 1


SCALE = {"key": "C major", "octaves": "2", "since": "2026-11-25"}


def test_the_next_scale_keeps_the_bowings(signed_in: Client, student: Student) -> None:
    old = ScaleInHandFactory.create(student=student, bowing_1="slur4", bowing_2="spot:3")
    signed_in.post(at(student, "scale"), SCALE | {"tempo_now": "60", "tempo_goal": "72"})
    old.refresh_from_db()
    now = student.scales.get(until=None)
    assert old.until == DAY
    assert (now.key, now.form, now.octaves, now.bowing_2) == ("C major", "major", 2, "spot:3")
    assert (now.tempo_now, now.tempo_goal) == (60, 72)


@pytest.mark.parametrize(
    ("key", "chosen", "form"),
    [
        ("E minor", "harmonic", "harmonic"),
        ("E minor", "", "melodic"),
        ("E major", "harmonic", "major"),
    ],
)
def test_a_minor_key_has_the_form_that_was_chosen(
    signed_in: Client, student: Student, key: str, chosen: str, form: str
) -> None:
    signed_in.post(at(student, "scale"), SCALE | {"key": key, "minor_form": chosen})
    assert student.scales.get().form == form


@pytest.mark.parametrize(
    ("field", "typed", "sentence"),
    [
        ("key", "H major", "“H major” is not a key. Choose one of the thirty."),
        ("key", "", "Key is missing."),
        ("octaves", "4", "4 is not one of the available choices"),
        ("minor_form", "dorian", "dorian is not one of the available choices"),
        ("tempo_now", "80", "The tempo wanted, 72, lies below the tempo now, 80."),
        ("tempo_now", "slow", "“slow” is not a whole number."),
        ("since", "2026-11-10", "G major is in hand since 11 November 2026"),
        ("since", "2027-01-01", "1 January 2027 is still to come."),
    ],
)
def test_a_scale_that_cannot_be_is_explained_and_nothing_moves(
    signed_in: Client, student: Student, field: str, typed: str, sentence: str
) -> None:
    now = ScaleInHandFactory.create(student=student)
    post = SCALE | {"tempo_now": "60", "tempo_goal": "72"} | {field: typed}
    response = signed_in.post(at(student, "scale"), post)
    assert response.status_code == 422
    assert sentence in response.content.decode()
    assert response.context["form"][field].value() == typed
    assert student.scales.get() == now
    now.refresh_from_db()
    assert (now.until, now.tempo_now) == (None, None)


def test_a_first_scale_is_offered_on_the_open_strings(signed_in: Client, student: Student) -> None:
    page = signed_in.get(f"/students/{student.pk}/scale/").content.decode()
    assert '<option value="A major" selected>' in page


def test_the_chosen_scale_is_engraved_at_once(signed_in: Client, student: Student) -> None:
    url = at(student, "scale/picture")
    page = signed_in.get(url, {"key": "E minor", "octaves": "1"}).content.decode()
    assert "/engraved/scale/E-minor/melodic/1.svg" in page
    for half in ("?key=H+major&octaves=1", "?key=E+minor", ""):
        assert not signed_in.get(f"{url}{half}").content.strip()


def test_the_day_a_scale_begins_may_lie_back(signed_in: Client, student: Student) -> None:
    signed_in.post(at(student, "scale"), SCALE | {"since": "2026-10-01"})
    assert student.scales.get().since == dt.date(2026, 10, 1)


@pytest.mark.parametrize("more", [0, 30])
def test_a_list_to_choose_from_asks_as_often_for_few_as_for_many(
    signed_in: Client,
    student: Student,
    more: int,
    django_assert_num_queries: DjangoAssertNumQueries,
) -> None:
    WorkFactory.create_batch(1 + more)
    with django_assert_num_queries(5):  # session, user, student, pieces in hand, works
        signed_in.get(at(student, "pieces/give"))
