"""Hard bars with etudes of the shipped catalogue that train the same."""

from __future__ import annotations

import pytest

from practice.engraving.reading import read_score
from practice.models import Work
from practice.music.hard_bars import TECHNIQUES, HardBar, Reason, hard_bars
from practice.repertoire.catalogue import load_catalogue
from practice.scores.showing import ETUDES, advice
from studio.models import Studio
from tests.factories import SCORE, EtudeWorkFactory

UNTRAINED = {"rhythm"}  # neither dotted nor triplets: nothing in the catalogue is marked so


def bar_of(*techniques: str) -> HardBar:
    reasons = tuple(Reason("because", 1.0, technique) for technique in techniques)
    return HardBar(4, "bar 5", 2.0, reasons)


@pytest.mark.parametrize("technique", sorted(TECHNIQUES.values()))
def test_the_catalogue_has_etudes_for_every_technique_but_one(
    studio: Studio, technique: str
) -> None:
    load_catalogue()
    [found] = advice(studio, (bar_of(technique),), 3)
    assert found.technique == technique
    assert bool(found.etudes) == (technique not in UNTRAINED)
    for etude in found.etudes:
        assert etude.kind == Work.Kind.ETUDE
        assert technique in etude.techniques


def test_etudes_of_a_real_score_train_what_its_bar_is_hard_for(studio: Studio) -> None:
    load_catalogue()
    music = read_score(SCORE.encode(), "lantern-boat.abc")
    found = advice(studio, hard_bars(music, 100, known_rhythms=frozenset()), 4)
    assert found
    for each in found:
        assert each.technique in [reason.technique for reason in each.bar.reasons]
        assert all(each.technique in etude.techniques for etude in each.etudes)
        assert 1 <= len(each.etudes) <= ETUDES


def test_where_the_weightiest_reason_has_no_etude_the_next_one_is_asked(studio: Studio) -> None:
    etude = EtudeWorkFactory.create(techniques=["double stops"])
    [found] = advice(studio, (bar_of("rhythm", "double stops"),), None)
    assert (found.technique, found.etudes) == ("double stops", (etude,))


def test_those_nearest_in_difficulty_come_first(studio: Studio) -> None:
    for difficulty in (1, 9, 5, 4, 7):
        EtudeWorkFactory.create(techniques=["shifting"], difficulty=difficulty)
    [found] = advice(studio, (bar_of("shifting"),), 5)
    assert [etude.difficulty for etude in found.etudes] == [5, 4, 7]


def test_the_etudes_of_another_studio_are_not_among_them(
    studio: Studio, other_studio: Studio
) -> None:
    EtudeWorkFactory.create(techniques=["shifting"], studio=other_studio, catalogue_key="")
    [found] = advice(studio, (bar_of("shifting"),), 5)
    assert found.etudes == ()
