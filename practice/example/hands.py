"""What was in hand after a past lesson, as the plan builder's side reads it from rows."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from practice.example.moments import EtudeAt, Moment, PieceAt, ScaleAt
from practice.plans.hand import (
    Hand,
    HandEtude,
    HandFavourite,
    HandPiece,
    HandScale,
    HandSpot,
    etude_title,
    hand_scale,
)


def hand_at(moment: Moment) -> Hand:
    """What `plans.hand.hand_of` would have read on that day; the rows must be saved."""
    liked = sorted(moment.favourites, key=lambda each: (each.since, each.pk))
    return Hand(
        scale=_scale(moment.scale) if moment.scale else None,
        etude=_etude(moment.etude) if moment.etude else None,
        pieces=tuple(_pieces(moment.pieces)),
        favourites=tuple(
            HandFavourite(each.pk, each.work_id, each.work.short_title, each.work.composer)
            for each in liked
        ),
    )


def _scale(at: ScaleAt) -> HandScale:
    return replace(hand_scale(at.scale), tempo_now=at.tempo)


def _etude(at: EtudeAt) -> HandEtude:
    work = at.etude.work
    return HandEtude(
        id=at.etude.pk,
        work_id=work.pk,
        title=etude_title(work),
        composer=work.composer,
        since=at.etude.since,
        number=work.number,
        lines=at.lines,
        cue=at.cue,
    )


def _pieces(pieces: Iterable[PieceAt]) -> Iterable[HandPiece]:
    for at in sorted(pieces, key=lambda at: at.piece.place):
        work = at.piece.work
        spots = [
            HandSpot(
                id=each.spot.pk,
                first_bar=each.spot.first_bar,
                last_bar=each.spot.last_bar,
                what=each.spot.what,
                tempo_now=each.tempo,
                tempo_goal=each.spot.tempo_goal,
                state=each.state,
                hardness=each.hardness,
                excerpt=each.spot.excerpt,
                easier_key=each.spot.easier_key,
            )
            for each in sorted(at.spots, key=lambda each: (each.hardness, each.spot.first_bar))
        ]
        yield HandPiece(
            id=at.piece.pk,
            place=at.piece.place,
            work_id=work.pk,
            title=work.short_title,
            composer=work.composer,
            stage=at.stage,
            started=at.piece.started,
            spots=tuple(spots),
        )
