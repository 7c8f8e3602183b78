"""A student's repertoire: everything in hand on one page, and each verb on it."""

from __future__ import annotations

import datetime as dt

import pytest
from django.test import Client
from pytest_django import DjangoAssertNumQueries

from practice.models import PieceInHand, Spot
from practice.repertoire.page import weeks_since
from studio.models import Student
from tests.factories import (
    DAY,
    EtudeInHandFactory,
    FavouriteFactory,
    PieceInHandFactory,
    ScaleInHandFactory,
    SpotFactory,
    WorkFactory,
)

pytestmark = pytest.mark.usefixtures("frozen")


@pytest.fixture
def piece(student: Student) -> PieceInHand:
    return PieceInHandFactory.create(student=student)


@pytest.fixture
def spot(piece: PieceInHand) -> Spot:
    return SpotFactory.create(piece=piece)


def page_of(client: Client, student: Student) -> str:
    response = client.get(f"/students/{student.pk}/repertoire/")
    assert response.status_code == 200
    return " ".join(response.content.decode().split())


def test_an_empty_page_has_one_verb_for_each_part(signed_in: Client, student: Student) -> None:
    page = page_of(signed_in, student)
    for words in ("Give a piece", "Choose the first key", "Choose an etude", "Add a favourite"):
        assert page.count(words) == 1, words


def test_everything_in_hand_stands_on_the_page(signed_in: Client, spot: Spot) -> None:
    student = spot.piece.student
    ScaleInHandFactory.create(student=student, key="E minor", form="harmonic", tempo_now=66)
    EtudeInHandFactory.create(student=student, cue="wrist soft")
    FavouriteFactory.create(student=student)
    page = page_of(signed_in, student)
    for words in (
        "Minuet in G",
        "C is a low 2",
        "<b>60</b>",
        "<b>E minor</b> harmonic",
        "since 11 November, 2 weeks",
        "wrist soft",
        "Ode to Joy",
        "Give a second piece",
    ):
        assert words in page, words


def test_no_third_piece_is_offered(signed_in: Client, piece: PieceInHand) -> None:
    PieceInHandFactory.create(student=piece.student, place=2)
    assert "Give a second piece" not in page_of(signed_in, piece.student)


def test_bars_of_a_spot_are_engraved_with_their_notes_in_words(
    signed_in: Client, piece: PieceInHand
) -> None:
    SpotFactory.create(piece=piece, excerpt="K:G\n[M:3/4] d2 GA Bc")
    page = page_of(signed_in, piece.student)
    assert '<img class="engraving" src="/engraved/excerpt/' in page
    assert "D, G, A, B, C" in page


def test_kept_bars_that_cannot_be_read_do_not_break_the_page(
    signed_in: Client, piece: PieceInHand
) -> None:
    SpotFactory.create(piece=piece, excerpt="what she typed in another version")
    assert "C is a low 2" in page_of(signed_in, piece.student)


def test_a_stage_is_set(signed_in: Client, piece: PieceInHand) -> None:
    response = signed_in.post(f"/pieces/{piece.pk}/stage/", {"stage": "polishing"})
    piece.refresh_from_db()
    assert piece.stage == "polishing"
    assert response.headers["Location"].endswith(f"/repertoire/#piece-{piece.pk}")


@pytest.mark.parametrize("stage", ["", "perfect", "<b>"])
def test_a_stage_that_does_not_exist_is_refused(
    signed_in: Client, piece: PieceInHand, stage: str
) -> None:
    response = signed_in.post(f"/pieces/{piece.pk}/stage/", {"stage": stage})
    assert response.status_code == 422
    assert "is no stage of a piece" in response.content.decode()


def test_a_finished_piece_becomes_a_favourite_when_ticked(
    signed_in: Client, piece: PieceInHand
) -> None:
    signed_in.post(f"/pieces/{piece.pk}/finish/", {"favourite": "1"})
    piece.refresh_from_db()
    assert (piece.stage, piece.finished) == ("finished", DAY)
    assert piece.student.favourites.get().work == piece.work
    assert "Take back into hand" in page_of(signed_in, piece.student)


def test_a_piece_is_set_aside_and_taken_back(signed_in: Client, piece: PieceInHand) -> None:
    signed_in.post(f"/pieces/{piece.pk}/set-aside/")
    piece.refresh_from_db()
    assert piece.stage == "set-aside"
    signed_in.post(f"/pieces/{piece.pk}/put-back/")
    piece.refresh_from_db()
    assert piece.stage == "working-up"


def test_taking_back_a_third_piece_is_refused_on_the_page(
    signed_in: Client, piece: PieceInHand
) -> None:
    signed_in.post(f"/pieces/{piece.pk}/finish/")
    for place, title in enumerate(("Gavotte", "Csárdás"), start=1):
        work = WorkFactory.create(title=title)
        PieceInHandFactory.create(student=piece.student, place=place, work=work)
    response = signed_in.post(f"/pieces/{piece.pk}/put-back/")
    assert response.status_code == 422
    assert "already has two pieces in hand, Gavotte and Csárdás" in response.content.decode()


def test_what_of_a_piece_and_since_when(signed_in: Client, piece: PieceInHand) -> None:
    url = f"/pieces/{piece.pk}/edit/"
    signed_in.post(url, {"note": "first line", "started": "2026-11-01"})
    piece.refresh_from_db()
    assert (piece.note, piece.started) == ("first line", dt.date(2026, 11, 1))
    response = signed_in.post(url, {"note": "second line", "started": "2026-11-26"})
    assert response.status_code == 422
    assert "26 November 2026 is still to come." in response.content.decode()
    assert 'value="second line"' in response.content.decode()


@pytest.mark.parametrize("state", ["firming", "firm", "solved", "troubled"])
def test_a_spot_firms_up_and_is_solved(signed_in: Client, spot: Spot, state: str) -> None:
    signed_in.post(f"/spots/{spot.pk}/state/", {"state": state})
    spot.refresh_from_db()
    assert spot.state == state
    assert spot.solved == (DAY if state == "solved" else None)


def test_a_solved_spot_can_be_opened_again_from_the_page(signed_in: Client, spot: Spot) -> None:
    signed_in.post(f"/spots/{spot.pk}/state/", {"state": "solved"})
    page = page_of(signed_in, spot.piece.student)
    assert "Solved spots" in page
    assert "Open again" in page


def test_a_spot_is_put_first(signed_in: Client, spot: Spot) -> None:
    other = SpotFactory.create(piece=spot.piece, first_bar=9, hardness=2)
    signed_in.post(f"/spots/{other.pk}/first/")
    assert list(spot.piece.spots.all()) == [other, spot]


def test_a_favourite_is_retired(signed_in: Client, student: Student) -> None:
    favourite = FavouriteFactory.create(student=student)
    signed_in.post(f"/favourites/{favourite.pk}/retire/")
    assert "None yet" in page_of(signed_in, student)


def test_the_page_asks_as_often_with_many_spots(
    signed_in: Client, spot: Spot, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    student = spot.piece.student

    def fill() -> None:
        SpotFactory.create(piece=spot.piece, excerpt="K:G\nG2")
        SpotFactory.create(piece=spot.piece, state="solved", solved=DAY)
        PieceInHandFactory.create(student=student, stage="finished", finished=DAY)
        FavouriteFactory.create(student=student)
        ScaleInHandFactory.create(student=student, until=DAY)
        EtudeInHandFactory.create(student=student, until=DAY)

    fill()
    # Session, user; student; pieces, spots; scale, etude; solved, favourites, gone, scales, etudes.
    with django_assert_num_queries(12):
        page_of(signed_in, student)
    for _ in range(4):
        fill()
    with django_assert_num_queries(12):
        page_of(signed_in, student)


@pytest.mark.parametrize(
    ("days", "words"), [(0, "new this week"), (6, "new this week"), (7, "1 week"), (20, "2 weeks")]
)
def test_weeks_are_told_in_words(days: int, words: str) -> None:
    assert weeks_since(DAY - dt.timedelta(days=days), DAY) == words


def test_a_dozen_pieces_before_stand_there_and_the_others_when_asked_for(
    signed_in: Client, student: Student
) -> None:
    for n in range(13):
        work = WorkFactory.create(title=f"Air {n}.")
        finished = DAY - dt.timedelta(days=n + 1)
        PieceInHandFactory.create(
            student=student, work=work, stage="finished", started=finished, finished=finished
        )
    page = page_of(signed_in, student)
    assert "Air 11." in page
    assert "Air 12." not in page
    assert '<a href="?before=all#before">' in page
    page = signed_in.get(f"/students/{student.pk}/repertoire/?before=all").content.decode()
    assert "Air 12." in page
    assert "?before=all" not in page
