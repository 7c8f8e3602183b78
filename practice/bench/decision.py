"""What the teacher decided: first as values that can be looked at, then as changes that are kept.

`foresee` and `keep` are two readings of one decision; a test holds them together.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from django.db import transaction

from practice.music.errors import MusicError
from practice.music.how import PLAIN, How, carried_over, is_same
from practice.plans.hand import (
    Hand,
    HandEtude,
    HandFavourite,
    HandPiece,
    HandScale,
    HandSpot,
    etude_title,
)
from practice.repertoire import changes
from practice.repertoire.models import PieceInHand, Spot, Work
from studio.people.models import Student

LEAVES_THE_HAND = frozenset({PieceInHand.Stage.FINISHED, PieceInHand.Stage.SET_ASIDE})


@dataclass(frozen=True)
class ScaleChoice:
    key: str
    form: str
    octaves: int
    bowings: tuple[str, ...] = ()
    how: How = PLAIN


@dataclass(frozen=True)
class EtudeChoice:
    work: Work
    lines: str = ""
    cue: str = ""


@dataclass(frozen=True)
class PieceChoice:
    """The stage the piece is to have; `favourite` counts only when it is finished."""

    stage: str
    favourite: bool = False


@dataclass(frozen=True)
class SpotChoice:
    what: str
    tempo_now: int
    tempo_goal: int
    state: str
    easier_key: str = ""


@dataclass(frozen=True)
class NewSpot:
    piece_id: int
    first_bar: int
    last_bar: int
    what: str
    tempo_now: int
    tempo_goal: int


@dataclass(frozen=True)
class Decision:
    """Choices that are the same as what is in hand change nothing."""

    scale: ScaleChoice | None = None
    etude: EtudeChoice | None = None
    pieces: Mapping[int, PieceChoice] = field(default_factory=dict)
    spots: Mapping[int, SpotChoice] = field(default_factory=dict)
    new_spots: tuple[NewSpot, ...] = ()
    new_piece: Work | None = None


def foresee(hand: Hand, decision: Decision, day: dt.date) -> Hand:
    """What will be in hand if this is kept. Touches no row."""
    stay = [_foreseen_piece(piece, decision) for piece in hand.pieces]
    pieces = tuple(piece for piece in stay if piece is not None)
    if decision.new_piece is not None:
        pieces = (*pieces, _new_piece(decision.new_piece, pieces, day))
    finished = tuple(
        HandFavourite(-piece.id, piece.work_id, piece.title, piece.composer)
        for piece in hand.pieces
        if _becomes_favourite(piece, decision, hand)
    )
    return Hand(
        scale=_foreseen_scale(hand.scale, decision.scale, day),
        etude=_foreseen_etude(hand.etude, decision.etude, day),
        pieces=tuple(sorted(pieces, key=lambda piece: piece.place)),
        favourites=(*hand.favourites, *finished),
    )


@transaction.atomic
def keep(student: Student, decision: Decision, day: dt.date) -> None:
    """Makes the changes. Raises `Refused` with a sentence; then nothing at all is changed."""
    scale, etude = decision.scale, decision.etude
    if scale is not None:
        one, two = (*scale.bowings, "", "")[:2]
        changes.move_scale(
            student, scale.key, scale.form, scale.octaves, day, (one, two), scale.how
        )
    if etude is not None:
        changes.move_etude(student, etude.work, day, etude.lines, etude.cue)
    pieces = student.pieces.in_hand().select_related("work", "student").prefetch_related("spots")
    for piece in pieces:
        _keep_spots(piece, decision, day)
        choice = decision.pieces.get(piece.pk)
        if choice is None or choice.stage == piece.stage:
            continue
        if choice.stage == PieceInHand.Stage.FINISHED:
            changes.finish_piece(piece, day, favourite=choice.favourite)
        else:
            changes.set_stage(piece, choice.stage, day)
    if decision.new_piece is not None:
        changes.give_piece(student, decision.new_piece, day)


def _keep_spots(piece: PieceInHand, decision: Decision, day: dt.date) -> None:
    open_spots = [spot for spot in piece.spots.all() if spot.state != Spot.State.SOLVED]
    for spot in open_spots:
        choice = decision.spots.get(spot.pk)
        if choice is None:
            continue
        now = (spot.what, spot.tempo_now, spot.tempo_goal, spot.easier_key)
        if now != (choice.what, choice.tempo_now, choice.tempo_goal, choice.easier_key):
            changes.change_spot(
                spot,
                spot.first_bar,
                spot.last_bar,
                choice.what,
                choice.tempo_now,
                choice.tempo_goal,
                easier_key=choice.easier_key,
            )
        if spot.state != choice.state:
            changes.set_spot_state(spot, choice.state, day)
    for new in decision.new_spots:
        if new.piece_id == piece.pk:
            _keep_new_spot(piece, open_spots, new, day)


def _keep_new_spot(piece: PieceInHand, open_spots: list[Spot], new: NewSpot, day: dt.date) -> None:
    """The same bars sent twice, as by the browser's back button, stay one spot."""
    bars = (new.first_bar, new.last_bar)
    same = next((spot for spot in open_spots if (spot.first_bar, spot.last_bar) == bars), None)
    said = (*bars, new.what, new.tempo_now, new.tempo_goal)
    if same is not None:
        changes.change_spot(same, *said)
    else:
        changes.add_spot(piece, *said, day)


def _foreseen_scale(
    now: HandScale | None, choice: ScaleChoice | None, day: dt.date
) -> HandScale | None:
    if choice is None:
        return now
    wanted = (choice.key, choice.form, choice.octaves)
    before = (now.named, now.how) if now else None
    try:
        how = carried_over(before, wanted, choice.how)
    except MusicError:
        how = choice.how  # refused with its sentence when it is kept
    if now and before and is_same(before, wanted, how):
        return replace(now, bowings=choice.bowings, how=how)
    return HandScale(-1, *wanted, since=day, bowings=choice.bowings, how=how)


def _foreseen_etude(
    now: HandEtude | None, choice: EtudeChoice | None, day: dt.date
) -> HandEtude | None:
    if choice is None:
        return now
    if now is not None and now.work_id == choice.work.pk:
        return replace(now, lines=choice.lines, cue=choice.cue)
    work = choice.work
    return HandEtude(
        id=-1,
        work_id=work.pk,
        title=etude_title(work),
        composer=work.told_composer,
        since=day,
        number=work.number,
        lines=choice.lines,
        cue=choice.cue,
    )


def _foreseen_piece(piece: HandPiece, decision: Decision) -> HandPiece | None:
    choice = decision.pieces.get(piece.id)
    stage = choice.stage if choice else piece.stage
    if stage in LEAVES_THE_HAND:
        return None
    kept = [_foreseen_spot(spot, decision.spots.get(spot.id)) for spot in piece.spots]
    spots = {(spot.first_bar, spot.last_bar): spot for spot in kept if spot is not None}
    hardest = max((spot.hardness for spot in piece.spots), default=0)
    for number, new in enumerate(decision.new_spots, start=1):
        if new.piece_id == piece.id:
            bars = (new.first_bar, new.last_bar)
            same = spots.get(bars) or HandSpot(-number, *bars, "", 0, 0, hardness=hardest + number)
            spots[bars] = replace(
                same, what=new.what, tempo_now=new.tempo_now, tempo_goal=new.tempo_goal
            )
    return replace(piece, stage=stage, spots=tuple(spots.values()))


def _foreseen_spot(spot: HandSpot, choice: SpotChoice | None) -> HandSpot | None:
    if choice is None:
        return spot
    if choice.state == Spot.State.SOLVED:
        return None
    return replace(
        spot,
        what=choice.what,
        tempo_now=choice.tempo_now,
        tempo_goal=choice.tempo_goal,
        state=choice.state,
        easier_key=choice.easier_key,
    )


def _new_piece(work: Work, beside: tuple[HandPiece, ...], day: dt.date) -> HandPiece:
    taken = {piece.place for piece in beside}
    return HandPiece(
        id=-1,
        place=next((place for place in (1, 2) if place not in taken), 2),
        work_id=work.pk,
        title=work.short_title,
        composer=work.told_composer,
        stage=PieceInHand.Stage.READING,
        started=day,
    )


def _becomes_favourite(piece: HandPiece, decision: Decision, hand: Hand) -> bool:
    choice = decision.pieces.get(piece.id)
    if choice is None or choice.stage != PieceInHand.Stage.FINISHED or not choice.favourite:
        return False
    return all(favourite.work_id != piece.work_id for favourite in hand.favourites)
