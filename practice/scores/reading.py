"""Kept files read as music; what was read is held by content, for taps come one after another."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import lru_cache

from practice.engraving.reading import read_score
from practice.music.hard_bars import HardBar, hard_bars, rhythms_of
from practice.music.score import Score as Music
from practice.repertoire.models import PieceInHand
from practice.scores.models import Score

LEARNED_READ = 8  # of a student's finished pieces, the latest


@dataclass(frozen=True)
class _File:
    digest: str
    name: str = field(compare=False)
    data: bytes = field(compare=False, repr=False)


def music_of(score: Score) -> Music:
    """Raises MusicError, though every kept file could be read when it came."""
    return _read(_File(score.digest, score.name, bytes(score.data)))


@lru_cache(maxsize=8)
def _read(file: _File) -> Music:
    return read_score(file.data, file.name)


def hard_bars_of(score: Score, bpm: int, piece: PieceInHand | None) -> tuple[HardBar, ...]:
    """The hardest bars at the tempo wanted; with a piece, also rhythms new to its student."""
    known = known_rhythms(piece) if piece else None
    return _weighed(_File(score.digest, score.name, bytes(score.data)), bpm, known)


@lru_cache(maxsize=32)
def _weighed(file: _File, bpm: int, known: frozenset[str] | None) -> tuple[HardBar, ...]:
    return hard_bars(_read(file), bpm, known_rhythms=known)


def known_rhythms(piece: PieceInHand) -> frozenset[str] | None:
    """Rhythms of the scores of what the student has learned; None where there is no such score."""
    learned = PieceInHand.objects.learned().filter(student=piece.student_id)
    scores = Score.objects.filter(
        studio=piece.student.family.studio_id, work__in=learned.values("work")
    )
    cells: list[Iterable[str]] = [
        rhythms_of(music_of(score).line) for score in scores[:LEARNED_READ]
    ]
    return frozenset().union(*cells) if cells else None
