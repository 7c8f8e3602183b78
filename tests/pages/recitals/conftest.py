"""A recital with three players whose pieces are being polished."""

from __future__ import annotations

import datetime as dt

import pytest

from practice.models import Programme
from practice.recitals.pieces import settle
from studio.models import Student, Studio
from tests import factories


@pytest.fixture
def programme(studio: Studio, student: Student) -> Programme:
    """Imani's Minuet, her sister's Song, and Aroha's Gavotte, in that order."""
    factories.TermFactory.create(studio=studio)
    programme = factories.ProgrammeFactory.create(recital__studio=studio)
    sister = factories.StudentFactory.create(
        family=student.family, given_name="Zola", birth_date=dt.date(2019, 5, 1)
    )
    aroha = factories.StudentFactory.create(family__studio=studio, given_name="Aroha")
    for place, (player, title) in enumerate(
        [(student, "Minuet in G"), (sister, "Song"), (aroha, "Gavotte")], 1
    ):
        piece = factories.PieceInHandFactory.create(
            student=player, work__title=title, stage="polishing"
        )
        factories.SpotFactory.create(piece=piece)
        factories.PerformanceFactory.create(
            programme=programme, student=player, work=piece.work, place=place
        )
    settle(programme)
    return programme
