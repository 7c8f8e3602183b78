"""Kept files read as music; what was read is held by content, for taps come one after another."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass, field

from practice.engraving.reading import read_score
from practice.music.abc_bar import read_abc
from practice.music.errors import MusicError
from practice.music.hard_bars import HardBar, hard_bars, rhythms_of, rhythms_of_bowing
from practice.music.score import Score as Music
from practice.repertoire.models import PieceInHand, ScaleInHand, Spot
from practice.scores.models import Score
from practice.sheets.bowed import listed
from studio.language.cached import cached_as_spoken

LEARNED_READ = 8  # of a student's finished pieces, the latest
SOLVED_READ = 60


@dataclass(frozen=True)
class _File:
    digest: str
    name: str = field(compare=False)
    data: bytes = field(compare=False, repr=False)


def music_of(score: Score) -> Music:
    """Raises MusicError, though every kept file could be read when it came."""
    return _read(_File(score.digest, score.name, bytes(score.data)))


@cached_as_spoken(maxsize=8)
def _read(file: _File) -> Music:
    return read_score(file.data, file.name)


def hard_bars_of(score: Score, bpm: int, piece: PieceInHand | None) -> tuple[HardBar, ...]:
    """The hardest bars at the tempo wanted; with a piece, also rhythms new to its student."""
    known = known_rhythms(piece) if piece else None
    return _weighed(_File(score.digest, score.name, bytes(score.data)), bpm, known)


@cached_as_spoken(maxsize=32)
def _weighed(file: _File, bpm: int, known: frozenset[str] | None) -> tuple[HardBar, ...]:
    return hard_bars(_read(file), bpm, known_rhythms=known)


def known_rhythms(piece: PieceInHand) -> frozenset[str] | None:
    """Rhythms of what this student has learned: the scores of finished pieces, solved spots, and
    bowings of scales that are behind. None without such a score: all would look new."""
    learned = PieceInHand.objects.learned().filter(student=piece.student_id)
    scores = Score.objects.filter(
        studio=piece.student.family.studio_id, work__in=learned.values("work")
    )
    cells = [rhythms_of(music_of(score).line) for score in scores[:LEARNED_READ]]
    if not cells:
        return None
    return frozenset().union(*cells, _solved(piece.student_id), _bowed(piece.student_id))


def _solved(student: int) -> frozenset[str]:
    solved = Spot.objects.filter(piece__student=student, state=Spot.State.SOLVED)
    cells: set[str] = set()
    for abc in solved.exclude(excerpt="").values_list("excerpt", flat=True)[:SOLVED_READ]:
        with suppress(MusicError):
            cells |= rhythms_of(read_abc(abc))
    return frozenset(cells)


def _bowed(student: int) -> frozenset[str]:
    behind = ScaleInHand.objects.filter(student=student, until__isnull=False)
    names = {name for pair in behind.values_list("bowing_1", "bowing_2") for name in pair}
    known = listed(names)
    return frozenset().union(
        *(rhythms_of_bowing(known[name].pattern) for name in names & known.keys())
    )
