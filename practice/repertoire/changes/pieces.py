"""Pieces in hand, two at most, and the favourites that grow out of them."""

from __future__ import annotations

import datetime as dt

from django.db import transaction
from django.utils.translation import gettext as _

from practice.repertoire.changes.refused import Refused, lock, saved
from practice.repertoire.models import Favourite, PieceInHand, Work
from studio.people.models import Student
from studio.web.days import long_day

PLACES = (1, 2)


@transaction.atomic
def give_piece(student: Student, work: Work, day: dt.date) -> PieceInHand:
    """Puts the work into the free place. Refuses a third piece and the same piece twice."""
    place = _free_place(student, adding=work)
    return saved(PieceInHand(student=student, work=work, place=place, started=day))


@transaction.atomic
def set_stage(piece: PieceInHand, stage: str, day: dt.date) -> None:
    """Moves a piece in hand between reading, working up and polishing, or finishes it."""
    if stage == PieceInHand.Stage.FINISHED:
        finish_piece(piece, day)
        return
    if stage == PieceInHand.Stage.SET_ASIDE:
        set_aside(piece, day)
        return
    if stage not in PieceInHand.IN_HAND:
        raise Refused(_("“{stage}” is no stage of a piece.").format(stage=stage), "stage")
    refuse_unless_in_hand(piece)
    piece.stage = stage
    saved(piece)


@transaction.atomic
def finish_piece(piece: PieceInHand, day: dt.date, favourite: bool = False) -> None:
    """Frees the place; with `favourite` the work joins the student's favourites."""
    _close_piece(piece, PieceInHand.Stage.FINISHED, day)
    if favourite:
        add_favourite(piece.student, piece.work, day)


@transaction.atomic
def set_aside(piece: PieceInHand, day: dt.date) -> None:
    """Frees the place without calling the piece finished; its spots wait as they are."""
    _close_piece(piece, PieceInHand.Stage.SET_ASIDE, day)


@transaction.atomic
def put_back(piece: PieceInHand) -> None:
    """Takes a finished or set-aside piece into hand again, to polish or work up.

    A favourite made by finishing this piece goes away again, an older one stays.
    """
    if piece.finished is None:
        return
    piece.place = _free_place(piece.student, adding=piece.work)
    if piece.stage == PieceInHand.Stage.FINISHED:
        made = Favourite.objects.filter(
            student=piece.student, work=piece.work, since=piece.finished, retired=None
        )
        made.delete()
        piece.stage = PieceInHand.Stage.POLISHING
    else:
        piece.stage = PieceInHand.Stage.WORKING_UP
    piece.finished = None
    saved(piece)


@transaction.atomic
def add_favourite(student: Student, work: Work, day: dt.date) -> Favourite:
    """One open favourite per work; asking twice changes nothing."""
    found, _made = Favourite.objects.get_or_create(
        student=student, work=work, retired=None, defaults={"since": day}
    )
    return found


@transaction.atomic
def retire_favourite(favourite: Favourite, day: dt.date) -> None:
    if favourite.retired is None:
        favourite.retired = max(day, favourite.since)
        saved(favourite)


def _free_place(student: Student, adding: Work) -> int:
    lock(student)
    in_hand = list(student.pieces.in_hand().select_related("work"))
    if any(piece.work_id == adding.pk for piece in in_hand):
        raise Refused(_("{work} is already in hand.").format(work=adding), "work")
    taken = {piece.place for piece in in_hand}
    free = [place for place in PLACES if place not in taken]
    if not free:
        first, second = (piece.work for piece in in_hand)
        sentence = _(
            "{name} already has two pieces in hand, {first} and {second}. "
            "Finish one or set it aside before giving {work}."
        )
        about = {"name": student.given_name, "first": first, "second": second, "work": adding}
        raise Refused(sentence.format(**about), "work")
    return free[0]


def refuse_unless_in_hand(piece: PieceInHand) -> None:
    if piece.finished is not None:
        sentence = _("{work} is no longer in hand; take it back into hand first.")
        raise Refused(sentence.format(work=piece.work))


def _close_piece(piece: PieceInHand, stage: str, day: dt.date) -> None:
    refuse_unless_in_hand(piece)
    if day < piece.started:
        sentence = _("{work} was started on {started}; {day} lies before that.")
        about = {"work": piece.work, "started": long_day(piece.started), "day": long_day(day)}
        raise Refused(sentence.format(**about), "day")
    piece.stage, piece.finished = stage, day
    saved(piece)
