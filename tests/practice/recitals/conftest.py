"""A recital ten days ahead with three players, two of one family, and its teacher."""

from __future__ import annotations

import datetime as dt

import pytest

from practice.models import Performance, Programme
from practice.recitals.pieces import settle
from studio.models import Family, Student, Studio
from tests import factories


@pytest.fixture
def programme(studio: Studio) -> Programme:
    return factories.ProgrammeFactory.create(recital__studio=studio)


@pytest.fixture
def zola(family: Family) -> Student:
    """Imani's younger sister."""
    return factories.StudentFactory.create(
        family=family, given_name="Zola", birth_date=dt.date(2019, 5, 1)
    )


@pytest.fixture
def aroha(studio: Studio) -> Student:
    return factories.StudentFactory.create(
        family__studio=studio,
        given_name="Aroha",
        family_name="Ngata",
        birth_date=dt.date(2014, 5, 1),
    )


@pytest.fixture
def three(programme: Programme, student: Student, zola: Student, aroha: Student) -> Programme:
    """Imani's Minuet, Zola's Ode to Joy, Aroha's Gavotte, in that order."""
    for place, (player, title) in enumerate(
        [(student, "Minuet in G"), (zola, "Ode to Joy"), (aroha, "Gavotte")], 1
    ):
        played(programme, player, title, place)
    settle(programme)
    return programme


def played(programme: Programme, player: Student, title: str, place: int) -> Performance:
    return factories.PerformanceFactory.create(
        programme=programme, student=player, work__title=title, place=place
    )
