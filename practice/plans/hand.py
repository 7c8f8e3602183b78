"""What a student has in hand, as plain values: what the Bench decides about and a week needs.

Rows that do not exist yet, as while a decision is only being looked at, have ids below zero.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from practice.music.how import PLAIN, How, Named
from practice.planning.words import in_bars
from practice.repertoire.library import surname
from practice.repertoire.models import PieceInHand, ScaleInHand, Spot, Work
from studio.people.models import Student


@dataclass(frozen=True)
class HandScale:
    """`bowings` are at most two pattern ids, as `ScaleInHand` keeps them."""

    id: int
    key: str
    form: str
    octaves: int
    since: dt.date
    bowings: tuple[str, ...] = ()
    tempo_now: int | None = None
    tempo_goal: int | None = None
    how: How = PLAIN

    @property
    def named(self) -> Named:
        return self.key, self.form, self.octaves


@dataclass(frozen=True)
class HandEtude:
    id: int
    work_id: int
    title: str
    composer: str
    since: dt.date
    number: str = ""
    lines: str = ""
    cue: str = ""

    @property
    def short(self) -> str:
        """ "Wohlfahrt no. 2", where the row is narrow."""
        if not self.number or not self.composer:
            return self.title
        said = _("{composer} no. {number}")
        return said.format(composer=surname(self.composer), number=self.number)

    @property
    def collection(self) -> str:
        """The title without its number."""
        return self.title.removesuffix(_numbered("", self.number)) if self.number else self.title


@dataclass(frozen=True)
class HandSpot:
    """`state` is never solved: a solved spot is no longer in hand."""

    id: int
    first_bar: int
    last_bar: int
    what: str
    tempo_now: int
    tempo_goal: int
    state: str = Spot.State.TROUBLED
    hardness: int = 1
    excerpt: str = ""
    easier_key: str = ""

    @property
    def bars(self) -> str:
        """ "3" or "7–8"."""
        return f"{self.first_bar}–{self.last_bar}" if self.several else f"{self.first_bar}"

    @property
    def several(self) -> bool:
        return self.first_bar != self.last_bar

    @property
    def word(self) -> str:
        return ngettext("bar", "bars", 2 if self.several else 1)

    @property
    def label(self) -> str:
        """ "bar 3" or "bars 7–8"."""
        return in_bars(self.bars)


@dataclass(frozen=True)
class HandPiece:
    id: int
    place: int
    work_id: int
    title: str
    composer: str
    stage: str
    started: dt.date
    spots: tuple[HandSpot, ...] = ()


@dataclass(frozen=True)
class HandFavourite:
    id: int
    work_id: int
    title: str
    composer: str = ""


@dataclass(frozen=True)
class Hand:
    scale: HandScale | None = None
    etude: HandEtude | None = None
    pieces: tuple[HandPiece, ...] = ()
    favourites: tuple[HandFavourite, ...] = ()

    def spot(self, pk: int) -> HandSpot | None:
        return next((s for piece in self.pieces for s in piece.spots if s.id == pk), None)

    def piece_of(self, spot: HandSpot) -> HandPiece:
        return next(piece for piece in self.pieces if spot in piece.spots)


def hand_of(student: Student) -> Hand:
    """Five queries, whatever the student has in hand."""
    return Hand(
        scale=_scale(student),
        etude=_etude(student),
        pieces=_pieces(student),
        favourites=tuple(
            HandFavourite(row.pk, row.work_id, row.work.short_title, row.work.told_composer)
            for row in student.favourites.filter(retired=None).select_related("work")
        ),
    )


def etude_title(work: Work) -> str:
    """As it is called at the stand: surname, opus and number ("Wohlfahrt op. 45, no. 2").

    A work without opus and number keeps its own title.
    """
    if not work.number:
        return work.short_title
    opus = work.opus
    if opus and not opus[0].isalpha():
        opus = _("op. {opus}").format(opus=opus)
    collection = (
        " ".join(filter(None, [surname(work.told_composer), opus])) if opus else work.told_title
    )
    return _numbered(collection, work.number)


def _numbered(collection: str, number: str) -> str:
    return _("{collection}, no. {number}").format(collection=collection, number=number)


def _scale(student: Student) -> HandScale | None:
    row = student.scales.filter(until=None).first()
    return hand_scale(row) if row else None


def hand_scale(row: ScaleInHand) -> HandScale:
    return HandScale(
        id=row.pk,
        key=row.key,
        form=row.form,
        octaves=row.octaves,
        since=row.since,
        bowings=tuple(filter(None, [row.bowing_1, row.bowing_2])),
        tempo_now=row.tempo_now,
        tempo_goal=row.tempo_goal,
        how=row.how,
    )


def _etude(student: Student) -> HandEtude | None:
    row = student.etudes.filter(until=None).select_related("work").first()
    if row is None:
        return None
    return HandEtude(
        id=row.pk,
        work_id=row.work_id,
        title=etude_title(row.work),
        composer=row.work.told_composer,
        since=row.since,
        number=row.work.number,
        lines=row.lines,
        cue=row.cue,
    )


def _pieces(student: Student) -> tuple[HandPiece, ...]:
    rows = student.pieces.in_hand().select_related("work").prefetch_related("spots")
    return tuple(_piece(row) for row in rows)


def _piece(row: PieceInHand) -> HandPiece:
    spots = [spot for spot in row.spots.all() if spot.state != Spot.State.SOLVED]
    return HandPiece(
        id=row.pk,
        place=row.place,
        work_id=row.work_id,
        title=row.work.short_title,
        composer=row.work.told_composer,
        stage=row.stage,
        started=row.started,
        spots=tuple(
            HandSpot(
                id=spot.pk,
                first_bar=spot.first_bar,
                last_bar=spot.last_bar,
                what=spot.what,
                tempo_now=spot.tempo_now,
                tempo_goal=spot.tempo_goal,
                state=spot.state,
                hardness=spot.hardness,
                excerpt=spot.excerpt,
                easier_key=spot.easier_key,
            )
            for spot in spots
        ),
    )
