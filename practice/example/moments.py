"""What was in hand after one lesson. Rows hold the present, so what moves is kept beside them."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from practice.music.metronome import between
from practice.repertoire.models import EtudeInHand, Favourite, PieceInHand, ScaleInHand, Spot


@dataclass(frozen=True)
class SpotAt:
    spot: Spot
    tempo: int
    state: str
    hardness: int


@dataclass(frozen=True)
class PieceAt:
    piece: PieceInHand
    stage: str
    spots: tuple[SpotAt, ...]


@dataclass(frozen=True)
class ScaleAt:
    scale: ScaleInHand
    tempo: int | None


@dataclass(frozen=True)
class EtudeAt:
    etude: EtudeInHand
    lines: str
    cue: str


@dataclass(frozen=True)
class Moment:
    """What is in hand after a lesson. `effort` is the share of the coming days with practice."""

    day: dt.date
    effort: float
    scale: ScaleAt | None
    etude: EtudeAt | None
    pieces: tuple[PieceAt, ...]
    favourites: tuple[Favourite, ...]


def tempo_steps(now: int, goal: int) -> tuple[int, ...]:
    """From tempo now to tempo wanted along the metronome's marks, both ends included."""
    return tuple(dict.fromkeys((now, *between(now, goal), goal)))
