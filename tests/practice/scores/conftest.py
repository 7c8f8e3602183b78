"""A piece in hand with its score, and a score of several pages."""

from __future__ import annotations

import pytest

from practice.models import PieceInHand, Score
from studio.models import Student, Studio
from tests.factories import (
    PieceInHandFactory,
    ScoreFactory,
)


@pytest.fixture
def piece(student: Student) -> PieceInHand:
    return PieceInHandFactory.create(student=student)


@pytest.fixture
def score(piece: PieceInHand, studio: Studio) -> Score:
    return ScoreFactory.create(studio=studio, work=piece.work)


@pytest.fixture
def long_score(piece: PieceInHand, studio: Studio) -> Score:
    """120 bars: several pages, and a pickup."""
    abc = "X:1\nT:Long Road\nM:4/4\nL:1/8\nK:D\nA|" + "(AB)cd (ef)ga|" * 119 + "[DA]8|]\n"
    return ScoreFactory.create(
        studio=studio, work=piece.work, name="long.abc", data=abc.encode(), digest="l", bars=121
    )
