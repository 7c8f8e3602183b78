"""What is foreseen is what is kept: the same decision, looked at and written down."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import replace

import pytest

from practice.bench.decision import (
    Decision,
    EtudeChoice,
    NewSpot,
    PieceChoice,
    ScaleChoice,
    SpotChoice,
    foresee,
    keep,
)
from practice.models import PieceInHand, Spot
from practice.music.how import How
from practice.plans.hand import Hand, hand_of
from practice.repertoire.changes import Refused
from studio.models import Student
from tests import factories
from tests.factories import DAY

pytestmark = pytest.mark.django_db


@pytest.fixture
def full(student: Student) -> Student:
    factories.ScaleInHandFactory.create(student=student)
    factories.EtudeInHandFactory.create(student=student)
    piece = factories.PieceInHandFactory.create(student=student)
    factories.SpotFactory.create(piece=piece, excerpt="[K:G][M:3/4][L:1/8]e2 (cd) (ef)")
    factories.SpotFactory.create(piece=piece, first_bar=7, hardness=2)
    tram = factories.WorkFactory.create(title="Tram No. Nine")
    factories.PieceInHandFactory.create(student=student, place=2, work=tram)
    factories.FavouriteFactory.create(student=student)
    return student


def without_ids(hand: Hand) -> Hand:
    """Rows that do not exist yet have no id to compare."""
    return Hand(
        scale=hand.scale and replace(hand.scale, id=0),
        etude=hand.etude and replace(hand.etude, id=0),
        pieces=tuple(
            replace(piece, id=0, spots=tuple(replace(spot, id=0) for spot in piece.spots))
            for piece in hand.pieces
        ),
        favourites=tuple(replace(each, id=0) for each in hand.favourites),
    )


def spot_of(student: Student, bar: int) -> Spot:
    return Spot.objects.get(piece__student=student, first_bar=bar)


def piece_at(student: Student, place: int) -> PieceInHand:
    return student.pieces.get(place=place)


def same(said: SpotChoice, **changes: object) -> SpotChoice:
    return replace(said, **changes)  # type: ignore[arg-type]


def as_it_is(student: Student, bar: int) -> SpotChoice:
    spot = spot_of(student, bar)
    return SpotChoice(spot.what, spot.tempo_now, spot.tempo_goal, spot.state)


DECISIONS: dict[str, Callable[[Student], Decision]] = {
    "nothing changes": lambda s: Decision(),
    "the key moves on": lambda s: Decision(scale=ScaleChoice("C major", "major", 2, ("slur4",))),
    "other bowings": lambda s: Decision(
        scale=ScaleChoice("G major", "major", 2, ("slur4", "detache"))
    ),
    "no bowing": lambda s: Decision(scale=ScaleChoice("G major", "major", 2)),
    "another octave": lambda s: Decision(scale=ScaleChoice("G major", "major", 3, ("slur2",))),
    "a minor key": lambda s: Decision(scale=ScaleChoice("E minor", "harmonic", 2, ("slur2",))),
    "another etude": lambda s: Decision(
        etude=EtudeChoice(factories.EtudeWorkFactory.create(), "line 1", "quiet wrist")
    ),
    "other lines": lambda s: Decision(
        etude=EtudeChoice(s.etudes.get(until=None).work, "lines 3 to 5")
    ),
    "the next stage": lambda s: Decision(pieces={piece_at(s, 1).pk: PieceChoice("polishing")}),
    "finished": lambda s: Decision(pieces={piece_at(s, 1).pk: PieceChoice("finished")}),
    "finished, a favourite": lambda s: Decision(
        pieces={piece_at(s, 1).pk: PieceChoice("finished", favourite=True)}
    ),
    "set aside": lambda s: Decision(pieces={piece_at(s, 2).pk: PieceChoice("set-aside")}),
    "finished, and a new one": lambda s: Decision(
        pieces={piece_at(s, 2).pk: PieceChoice("finished")},
        new_piece=factories.WorkFactory.create(title="Gavotte"),
    ),
    "a faster spot": lambda s: Decision(
        spots={spot_of(s, 3).pk: same(as_it_is(s, 3), tempo_now=63, tempo_goal=88)}
    ),
    "one note over the top": lambda s: Decision(
        scale=ScaleChoice("G major", "major", 2, how=How(over=1))
    ),
    "on one string": lambda s: Decision(
        scale=ScaleChoice("G major", "major", 1, ("slur2+doubled",), How(string="G"))
    ),
    "a spot first in a simpler key": lambda s: Decision(
        spots={spot_of(s, 3).pk: same(as_it_is(s, 3), easier_key="C major")}
    ),
    "a firmer spot": lambda s: Decision(
        spots={spot_of(s, 3).pk: same(as_it_is(s, 3), state="firm", what="almost there")}
    ),
    "a solved spot": lambda s: Decision(
        spots={spot_of(s, 7).pk: same(as_it_is(s, 7), state="solved")}
    ),
    "a new spot": lambda s: Decision(
        new_spots=(NewSpot(piece_at(s, 1).pk, 11, 12, "shift lands late", 52, 72),)
    ),
    "a spot written down again": lambda s: Decision(
        new_spots=(NewSpot(piece_at(s, 1).pk, 3, 3, "elbow", 54, 84),)
    ),
    "a spot in the other piece": lambda s: Decision(
        new_spots=(NewSpot(piece_at(s, 2).pk, 5, 5, "long, tiny", 52, 72),)
    ),
}


@pytest.mark.parametrize("name", DECISIONS)
def test_what_is_foreseen_is_what_is_kept(full: Student, name: str) -> None:
    decision = DECISIONS[name](full)
    foreseen = foresee(hand_of(full), decision, DAY)
    keep(full, decision, DAY)
    assert without_ids(foreseen) == without_ids(hand_of(full))


def test_foreseeing_touches_no_row(full: Student, django_assert_num_queries: object) -> None:
    hand = hand_of(full)
    decision = Decision(scale=ScaleChoice("C major", "major", 2))
    with django_assert_num_queries(0):  # type: ignore[operator]
        foresee(hand, decision, DAY)


def test_a_refusal_changes_nothing_at_all(full: Student) -> None:
    before = hand_of(full)
    decision = Decision(
        scale=ScaleChoice("C major", "major", 2),
        new_piece=factories.WorkFactory.create(title="One too many"),
    )
    with pytest.raises(Refused, match="already has two pieces in hand"):
        keep(full, decision, DAY)
    assert hand_of(full) == before


def test_spots_of_a_piece_that_is_finished_are_still_kept(full: Student) -> None:
    spot = spot_of(full, 3)
    decision = Decision(
        pieces={spot.piece_id: PieceChoice("finished")},
        spots={spot.pk: same(as_it_is(full, 3), state="solved")},
    )
    keep(full, decision, DAY)
    spot.refresh_from_db()
    assert (spot.state, spot.solved) == ("solved", DAY)


def test_a_moved_scale_keeps_the_days_of_the_one_before(full: Student) -> None:
    keep(full, Decision(scale=ScaleChoice("C major", "major", 1)), DAY)
    before, now = full.scales.order_by("since")
    assert (before.key, before.until, now.since) == ("G major", DAY, DAY)
    assert before.since == dt.date(2026, 11, 11)
