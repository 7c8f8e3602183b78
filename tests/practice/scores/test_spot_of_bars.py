"""Tapped bars become a spot, with its bowing and its simpler key."""

from __future__ import annotations

import pytest
from django.test import Client

from practice.bench.cards import cards_of
from practice.models import PieceInHand, Score, Spot
from practice.plans.hand import hand_of
from studio.models import Student
from tests.factories import (
    PieceInHandFactory,
    ScaleInHandFactory,
)


def test_tapped_bars_become_a_spot_whose_bowing_reaches_the_bench(
    signed_in: Client, score: Score, piece: PieceInHand
) -> None:
    ScaleInHandFactory.create(student=piece.student)
    shown = signed_in.get(f"/scores/{score.pk}/bars/?bar=2").content.decode()
    assert "Bar 1" in shown
    assert "long, two, two" in shown
    answer = signed_in.post(
        f"/scores/{score.pk}/spot/",
        {"bar": "2", "piece": piece.pk, "what": "Low 2", "tempo_now": 60, "tempo_goal": 90},
    )
    spot = Spot.objects.get()
    assert answer.headers["Location"].endswith(f"#piece-{piece.pk}")
    assert (spot.piece, spot.first_bar, spot.last_bar, spot.tempo_goal) == (piece, 1, 1, 90)
    assert spot.excerpt.startswith("M:3/4")
    cards = cards_of(piece.student, hand_of(piece.student)).offered
    borrowed = next(card for card in cards if card.id == f"spot:{spot.pk}")
    assert borrowed.name == "long, two, two"


def test_a_spot_without_words_is_asked_again_and_keeps_its_bars(
    signed_in: Client, score: Score, piece: PieceInHand
) -> None:
    answer = signed_in.post(
        f"/scores/{score.pk}/spot/",
        {"bar": ["2", "3"], "piece": piece.pk, "what": "", "tempo_now": 90, "tempo_goal": 80},
    )
    html = answer.content.decode()
    assert answer.status_code == 422
    assert "What to do there is missing." in html
    assert "Bars 1 to 2" in html
    assert 'value="90"' in html
    assert not Spot.objects.exists()


@pytest.mark.parametrize("bar", ["99", "0", "x", ""])
def test_a_bar_that_does_not_exist_makes_no_spot(
    signed_in: Client, score: Score, piece: PieceInHand, bar: str
) -> None:
    answer = signed_in.post(
        f"/scores/{score.pk}/spot/",
        {"bar": bar, "piece": piece.pk, "what": "x", "tempo_now": 60, "tempo_goal": 80},
    )
    assert answer.status_code == 422
    assert "not in the score" in answer.content.decode()
    assert not Spot.objects.exists()


def test_a_spot_goes_to_no_one_elses_piece(
    signed_in: Client, score: Score, other_student: Student
) -> None:
    theirs = PieceInHandFactory.create(student=other_student, work=score.work)
    answer = signed_in.post(
        f"/scores/{score.pk}/spot/",
        {"bar": "2", "piece": theirs.pk, "what": "x", "tempo_now": 60, "tempo_goal": 80},
    )
    assert answer.status_code == 422
    assert not Spot.objects.exists()


def test_the_same_bars_in_a_simpler_key_go_with_the_spot(
    signed_in: Client, score: Score, piece: PieceInHand
) -> None:
    url = f"/scores/{score.pk}/?bar=6&piece={piece.pk}"
    html = signed_in.get(url).content.decode()
    assert 'name="easier_key" value="C major"' in html
    data = {"piece": piece.pk, "what": "low second", "tempo_now": 60, "tempo_goal": 80, "bar": 6}
    signed_in.post(f"/scores/{score.pk}/spot/", data | {"easier_key": "C major"})
    assert piece.spots.get().easier_key == "C major"
