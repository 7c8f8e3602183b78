"""How a student's repertoire moves from lesson to lesson, as rows that are not saved yet.

The rules are those of repertoire/changes: two pieces in hand, one scale, one etude.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field
from random import Random
from typing import Final, TypeVar

from practice.example.cast import LATE, EtudeStep, PieceStep, PieceText, Pupil, ScaleStep, SpotText
from practice.example.moments import EtudeAt, Moment, PieceAt, ScaleAt, SpotAt, tempo_steps
from practice.repertoire.models import (
    EtudeInHand,
    Favourite,
    PieceInHand,
    ScaleInHand,
    Spot,
    Work,
)
from studio.people.models import Student

OPEN_SPOTS_A_PIECE: Final = 2
OPEN_SPOTS: Final = 4  # a sheet holds no more
WEEKS_IN_A_SCALE: Final = 7
ILL: Final = 0.04  # share of weeks in which next to nothing is practised
Step = TypeVar("Step", ScaleStep, EtudeStep)


@dataclass(frozen=True)
class Library:
    """Texts and works by the names the cast uses; etudes by their key in the catalogue."""

    texts: Mapping[str, PieceText]
    pieces: Mapping[str, Work]
    etudes: Mapping[str, Work]


@dataclass
class _OpenSpot:
    spot: Spot
    steps: tuple[int, ...]
    weeks: float
    progress: float = 0.0

    @property
    def tempo(self) -> int:
        return self.steps[min(int(self.progress * len(self.steps)), len(self.steps) - 1)]

    @property
    def state(self) -> str:
        if self.progress < 0.35:
            return Spot.State.TROUBLED
        return Spot.State.FIRMING if self.progress < 0.7 else Spot.State.FIRM


@dataclass
class _OpenPiece:
    piece: PieceInHand
    step: PieceStep
    waiting: list[SpotText]
    open: list[_OpenSpot] = field(default_factory=list)

    def stage(self, week: int) -> str:
        gone = week - self.step.since
        whole = self.step.until - self.step.since if self.step.until < LATE else 14
        if gone < 0.25 * whole:
            return PieceInHand.Stage.READING
        polished = gone >= 0.75 * whole and not self.waiting
        return PieceInHand.Stage.POLISHING if polished else PieceInHand.Stage.WORKING_UP


class Learner:
    """One student on the way. `rows` are for saving, `spots` finds a spot for its bowing."""

    def __init__(self, pupil: Pupil, student: Student, library: Library, rng: Random) -> None:
        self.pupil, self.student, self.library, self.rng = pupil, student, library, rng
        self.pieces: list[PieceInHand] = []
        self.spots: list[Spot] = []
        self.scales: list[ScaleInHand] = []
        self.etudes: list[EtudeInHand] = []
        self.favourites: list[Favourite] = []
        self.bowings: dict[int, tuple[str, ...]] = {}  # of scales, by their place in the list
        self.spot_names: dict[str, Spot] = {}
        self._week = LATE
        self._effort = pupil.diligence
        self._hand: list[_OpenPiece] = []
        self._to_come = sorted(pupil.pieces, key=lambda step: step.since)
        self._scale_steps: tuple[int, ...] = ()
        self._scale_progress = 0.0

    def lesson(self, day: dt.date, week: int) -> Moment:
        """What was decided at the lesson of this day."""
        first = self._week == LATE
        if first:
            self._learnt_before(day)
        else:
            self._practised(week - self._week, day)
        self._week = week
        self._finish(day, week)
        self._begin(day, week, first)
        self._move_scale(day, week)
        self._move_etude(day, week)
        self._mark_spots(day)
        self._effort = self._next_effort()
        return self._moment(day, week)

    def name_bowings(self) -> None:
        """Gives the scales their bowings, once the spots they may borrow from are saved."""
        for number, names in self.bowings.items():
            ids = [self._bowing_id(name) for name in names]
            one, two = (*filter(None, ids), "", "")[:2]
            self.scales[number].bowing_1, self.scales[number].bowing_2 = one, two

    def _bowing_id(self, name: str) -> str:
        if not name.startswith("spot:"):
            return name
        base, plus, variation = name.partition("+")
        spot = self.spot_names.get(base)
        return f"spot:{spot.pk}{plus}{variation}" if spot else ""

    def _learnt_before(self, day: dt.date) -> None:
        """Favourites from before the first lesson that is told."""
        for number, name in enumerate(self.pupil.favourites, start=1):
            done = max(self.student.started, day - dt.timedelta(weeks=5 + 9 * number))
            began = max(self.student.started, done - dt.timedelta(weeks=11))
            self._close(
                PieceInHand(
                    student=self.student, work=self.library.pieces[name], place=1, started=began
                ),
                done,
                liked=True,
            )

    def _practised(self, weeks: int, day: dt.date) -> None:
        for piece in self._hand:
            for each in list(piece.open):
                each.progress += weeks * self._gain() / each.weeks
                if each.progress >= 1:
                    self._solve(piece, each, day)
        self._scale_progress += weeks * self._gain() / WEEKS_IN_A_SCALE

    def _gain(self) -> float:
        return self.pupil.pace * (0.4 + 0.8 * self._effort) * self.rng.uniform(0.7, 1.3)

    def _next_effort(self) -> float:
        if self.rng.random() < ILL:
            return 0.1
        return min(1.0, max(0.1, self.pupil.diligence * self.rng.gauss(1, 0.16)))

    def _solve(self, piece: _OpenPiece, each: _OpenSpot, day: dt.date) -> None:
        each.spot.tempo_now = each.spot.tempo_goal
        each.spot.state, each.spot.solved = Spot.State.SOLVED, day
        piece.open.remove(each)

    def _finish(self, day: dt.date, week: int) -> None:
        for piece in list(self._hand):
            if piece.step.until <= week:
                for each in list(piece.open):
                    self._solve(piece, each, day)
                self._hand.remove(piece)
                self._close(piece.piece, day, piece.step.liked)

    def _close(self, piece: PieceInHand, day: dt.date, liked: bool) -> None:
        piece.stage, piece.finished = PieceInHand.Stage.FINISHED, day
        if piece not in self.pieces:
            self.pieces.append(piece)
        if liked and all(each.work != piece.work for each in self.favourites):
            self.favourites.append(Favourite(student=self.student, work=piece.work, since=day))

    def _begin(self, day: dt.date, week: int, first: bool) -> None:
        """Pieces whose week has come, while there is a free place for them."""
        while self._to_come and self._to_come[0].since <= week and len(self._hand) < 2:
            step = self._to_come.pop(0)
            earlier = day - dt.timedelta(weeks=max(0, week - step.since)) if first else day
            taken = {each.piece.place for each in self._hand}
            piece = PieceInHand(
                student=self.student,
                work=self.library.pieces[step.piece],
                place=min({1, 2} - taken),
                started=max(self.student.started, earlier),
            )
            self.pieces.append(piece)
            texts = list(self.library.texts[step.piece].spots)
            self._hand.append(_OpenPiece(piece, step, texts))

    def _move_scale(self, day: dt.date, week: int) -> None:
        step = _latest(self.pupil.scales, week)
        now = self.scales[-1] if self.scales else None
        if step is None or (
            now and (now.key, now.form, now.octaves) == (step.key, step.form, step.octaves)
        ):
            return
        if now is not None:
            now.until = day
        since = max(self.student.started, day - dt.timedelta(weeks=2)) if now is None else day
        scale = ScaleInHand(
            student=self.student,
            key=step.key,
            form=step.form,
            octaves=step.octaves,
            string=step.string,
            over_top=step.over,
            open_strings=step.open_strings,
            fingers=step.fingers,
            since=since,
        )
        self.bowings[len(self.scales)] = step.bowings[:2]
        self.scales.append(scale)
        self._scale_progress = 0.0
        self._scale_steps = ()
        if self.pupil.difficulty > 1:
            scale.tempo_goal = step.goal
            self._scale_steps = tempo_steps(step.now, step.goal)

    def _move_etude(self, day: dt.date, week: int) -> None:
        step = _latest(self.pupil.etudes, week)
        if step is None:
            return
        now, work = self.etudes[-1] if self.etudes else None, self.library.etudes[step.work]
        if now is None or now.work != work:
            since = day
            if now is None:
                since = max(self.student.started, day - dt.timedelta(weeks=1))
            else:
                now.until = day
            now = EtudeInHand(student=self.student, work=work, since=since)
            self.etudes.append(now)
        now.lines, now.cue = step.lines, step.cue

    def _mark_spots(self, day: dt.date) -> None:
        """New spots while there is room for them, the newer piece last."""
        for piece in self._hand:
            free = OPEN_SPOTS - sum(len(each.open) for each in self._hand)
            while free and piece.waiting and len(piece.open) < OPEN_SPOTS_A_PIECE:
                piece.open.append(self._new_spot(piece, piece.waiting.pop(0), day))
                free -= 1

    def _new_spot(self, piece: _OpenPiece, text: SpotText, day: dt.date) -> _OpenSpot:
        spot = Spot(
            piece=piece.piece,
            first_bar=text.bars[0],
            last_bar=text.bars[1],
            what=text.what,
            tempo_now=text.now,
            tempo_goal=text.goal,
            excerpt=text.abc,
            easier_key=text.easier,
            opened=day,
        )
        self.spots.append(spot)
        texts = self.library.texts[piece.step.piece].spots
        self.spot_names[f"spot:{piece.step.piece}:{texts.index(text) + 1}"] = spot
        until, slow = piece.step.until, 1.7
        if until == LATE:
            until, slow = self._week + 12, 2.3
        weeks = max(2.5, slow * (until - piece.step.since) / len(texts))
        return _OpenSpot(spot, tempo_steps(text.now, text.goal), weeks)

    def _moment(self, day: dt.date, week: int) -> Moment:
        for piece in self._hand:
            piece.piece.stage = piece.stage(week)
            hardest_first = sorted(piece.open, key=lambda each: each.progress)
            for hardness, each in enumerate(hardest_first, start=1):
                each.spot.tempo_now, each.spot.state = each.tempo, each.state
                each.spot.hardness = hardness
        etude = self.etudes[-1] if self.etudes else None
        scale = self.scales[-1] if self.scales else None
        if scale is not None and self._scale_steps:
            at = int(self._scale_progress * len(self._scale_steps))
            scale.tempo_now = self._scale_steps[min(at, len(self._scale_steps) - 1)]
        return Moment(
            day=day,
            effort=self._effort,
            scale=ScaleAt(scale, scale.tempo_now) if scale else None,
            etude=EtudeAt(etude, etude.lines, etude.cue) if etude else None,
            pieces=tuple(_piece_at(each) for each in self._hand),
            favourites=tuple(self.favourites),
        )


def _piece_at(piece: _OpenPiece) -> PieceAt:
    spots = [
        SpotAt(each.spot, each.spot.tempo_now, each.spot.state, each.spot.hardness)
        for each in piece.open
    ]
    return PieceAt(piece.piece, piece.piece.stage, tuple(spots))


def _latest(steps: tuple[Step, ...], week: int) -> Step | None:
    begun = [step for step in steps if step.since <= week]
    return begun[-1] if begun else None
