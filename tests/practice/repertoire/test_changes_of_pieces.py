"""Giving, finishing, setting aside and taking back: two pieces at most."""

from __future__ import annotations

import datetime as dt

import pytest
from django.db import IntegrityError, transaction

from practice.models import Favourite, PieceInHand
from practice.repertoire import changes
from studio.models import Student
from tests.factories import DAY, FavouriteFactory, PieceInHandFactory, WorkFactory

LATER = DAY + dt.timedelta(days=7)


def test_the_first_two_pieces_get_a_place_each(student: Student) -> None:
    first = changes.give_piece(student, WorkFactory.create(), DAY)
    second = changes.give_piece(student, WorkFactory.create(title="Gavotte"), DAY)
    assert (first.place, second.place) == (1, 2)
    assert {first.stage, second.stage} == {PieceInHand.Stage.READING}


def test_a_third_piece_is_refused_and_the_two_are_named(student: Student) -> None:
    changes.give_piece(student, WorkFactory.create(title="Minuet in G"), DAY)
    changes.give_piece(student, WorkFactory.create(title="Gavotte"), DAY)
    with pytest.raises(changes.Refused) as refused:
        changes.give_piece(student, WorkFactory.create(title="Csárdás"), DAY)
    assert refused.value.sentence == (
        "Imani already has two pieces in hand, Minuet in G and Gavotte. "
        "Finish one or set it aside before giving Csárdás."
    )
    assert student.pieces.count() == 2


def test_the_database_itself_takes_no_third_piece(student: Student) -> None:
    PieceInHandFactory.create(student=student, place=1)
    PieceInHandFactory.create(student=student, place=2)
    for place in (1, 2, 3):
        with pytest.raises(IntegrityError), transaction.atomic():
            PieceInHandFactory.create(student=student, place=place)


def test_the_same_piece_is_not_given_twice(student: Student) -> None:
    work = WorkFactory.create(title="Minuet in G")
    changes.give_piece(student, work, DAY)
    with pytest.raises(changes.Refused, match="Minuet in G is already in hand"):
        changes.give_piece(student, work, DAY)


def test_a_finished_piece_frees_its_place(student: Student) -> None:
    first = changes.give_piece(student, WorkFactory.create(), DAY)
    changes.give_piece(student, WorkFactory.create(title="Gavotte"), DAY)
    changes.finish_piece(first, LATER)
    assert (first.stage, first.finished) == (PieceInHand.Stage.FINISHED, LATER)
    assert changes.give_piece(student, WorkFactory.create(title="Csárdás"), LATER).place == 1


def test_finishing_makes_a_favourite_only_when_asked(student: Student) -> None:
    piece = PieceInHandFactory.create(student=student)
    changes.finish_piece(piece, DAY)
    assert not Favourite.objects.exists()
    changes.put_back(piece)
    changes.finish_piece(piece, DAY, favourite=True)
    assert student.favourites.get().work == piece.work


def test_finishing_a_work_that_is_a_favourite_already_keeps_one(student: Student) -> None:
    piece = PieceInHandFactory.create(student=student)
    older = FavouriteFactory.create(student=student, work=piece.work)
    changes.finish_piece(piece, DAY, favourite=True)
    assert student.favourites.get() == older


def test_a_piece_cannot_be_finished_before_it_was_started(student: Student) -> None:
    piece = PieceInHandFactory.create(student=student, started=DAY)
    with pytest.raises(changes.Refused, match="24 November 2026 lies before that"):
        changes.finish_piece(piece, DAY - dt.timedelta(days=1))


def test_a_piece_set_aside_is_out_of_hand_but_not_learned(student: Student) -> None:
    piece = PieceInHandFactory.create(student=student)
    changes.set_aside(piece, DAY)
    assert not student.pieces.in_hand()
    assert not student.pieces.learned()


@pytest.mark.parametrize(
    ("leave", "stage"),
    [
        (changes.finish_piece, PieceInHand.Stage.POLISHING),
        (changes.set_aside, PieceInHand.Stage.WORKING_UP),
    ],
)
def test_a_piece_comes_back_into_hand(student: Student, leave: object, stage: str) -> None:
    piece = PieceInHandFactory.create(student=student)
    leave(piece, DAY)  # type: ignore[operator]
    changes.put_back(piece)
    piece.refresh_from_db()
    assert (piece.stage, piece.finished) == (stage, None)


def test_coming_back_takes_the_favourite_of_that_finishing_with_it(student: Student) -> None:
    piece = PieceInHandFactory.create(student=student)
    changes.finish_piece(piece, DAY, favourite=True)
    changes.put_back(piece)
    assert not student.favourites.exists()


def test_coming_back_leaves_an_older_favourite(student: Student) -> None:
    piece = PieceInHandFactory.create(student=student)
    FavouriteFactory.create(student=student, work=piece.work, since=DAY - dt.timedelta(days=90))
    changes.finish_piece(piece, DAY, favourite=True)
    changes.put_back(piece)
    assert student.favourites.count() == 1


def test_a_third_piece_cannot_come_back(student: Student) -> None:
    gone = PieceInHandFactory.create(student=student)
    changes.finish_piece(gone, DAY)
    for title in ("Gavotte", "Csárdás"):
        changes.give_piece(student, WorkFactory.create(title=title), DAY)
    with pytest.raises(changes.Refused, match="two pieces in hand, Gavotte and Csárdás"):
        changes.put_back(gone)


def test_stages_move_both_ways_while_in_hand(student: Student) -> None:
    piece = PieceInHandFactory.create(student=student)
    for stage in ("polishing", "reading", "working-up"):
        changes.set_stage(piece, stage, DAY)
        piece.refresh_from_db()
        assert piece.stage == stage


def test_the_stage_finished_finishes(student: Student) -> None:
    piece = PieceInHandFactory.create(student=student)
    changes.set_stage(piece, "finished", DAY)
    assert piece.finished == DAY


def test_a_stage_that_does_not_exist_is_named(student: Student) -> None:
    piece = PieceInHandFactory.create(student=student)
    with pytest.raises(changes.Refused, match="“perfect” is no stage"):
        changes.set_stage(piece, "perfect", DAY)


def test_a_piece_out_of_hand_keeps_its_stage(student: Student) -> None:
    piece = PieceInHandFactory.create(student=student)
    changes.finish_piece(piece, DAY)
    with pytest.raises(changes.Refused, match="no longer in hand"):
        changes.set_stage(piece, "reading", DAY)


def test_a_favourite_is_retired_on_its_day_and_can_be_added_again(student: Student) -> None:
    favourite = FavouriteFactory.create(student=student)
    changes.retire_favourite(favourite, DAY)
    again = changes.add_favourite(student, favourite.work, DAY)
    assert favourite.retired == DAY
    assert again.pk != favourite.pk
