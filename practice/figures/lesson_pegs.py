"""A peg for each lesson of the term, in rows, in millimetres."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from practice.figures.lesson_fates import LessonFate

A_ROW, STEP, DOWN = 13, 5.4, 5.4
MOST = 4 * A_ROW  # pegs, beyond which the words alone say it


@dataclass(frozen=True)
class LessonPeg:
    x: float
    y: float
    top: float  # of the half that is filled for a lesson made up
    fate: LessonFate


@dataclass(frozen=True)
class LessonPegs:
    width: float
    height: float
    pegs: tuple[LessonPeg, ...]


def lesson_pegs(fates: Sequence[LessonFate]) -> LessonPegs | None:
    """None where there is no lesson, or more than could be told apart."""
    if not 0 < len(fates) <= MOST:
        return None
    pegs = []
    for number, fate in enumerate(fates):
        row, column = divmod(number, A_ROW)
        y = 2.6 + DOWN * row
        pegs.append(LessonPeg(round(2.4 + STEP * column, 2), y, round(y - 1.9, 2), fate))
    rows = -(-len(fates) // A_ROW)
    return LessonPegs(A_ROW * STEP, round(DOWN * rows, 2), tuple(pegs))
