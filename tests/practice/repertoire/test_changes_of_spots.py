"""Spots: bars in order, tempos in order, the hardest first."""

from __future__ import annotations

import datetime as dt

import pytest

from practice.models import PieceInHand, Spot
from practice.repertoire import changes
from studio.models import Student
from tests.factories import DAY, PieceInHandFactory, SpotFactory


@pytest.fixture
def piece(student: Student) -> PieceInHand:
    return PieceInHandFactory.create(student=student)


def add(piece: PieceInHand, **changed: object) -> Spot:
    given = {
        "first_bar": 3,
        "last_bar": 4,
        "what": "elbow leads",
        "tempo_now": 60,
        "tempo_goal": 80,
        "day": DAY,
    }
    return changes.add_spot(piece, **(given | changed))  # type: ignore[arg-type]


def test_a_new_spot_is_troubled_and_comes_after_the_others(piece: PieceInHand) -> None:
    first, second = add(piece), add(piece, first_bar=1)
    assert (first.state, first.opened) == (Spot.State.TROUBLED, DAY)
    assert list(piece.spots.all()) == [first, second]


@pytest.mark.parametrize(
    ("changed", "field", "sentence"),
    [
        ({"first_bar": 0}, "first_bar", "Bar 0: bars are counted from 1."),
        ({"last_bar": 2}, "last_bar", "The last bar, 2, lies before the first, 3."),
        ({"tempo_goal": 59}, "tempo_goal", "The tempo wanted, 59, lies below the tempo now, 60."),
        ({"tempo_now": 19}, "tempo_now", "Tempo now: 19 is outside 20 to 300 beats a minute."),
        (
            {"tempo_goal": 301},
            "tempo_goal",
            "Tempo wanted: 301 is outside 20 to 300 beats a minute.",
        ),
    ],
)
def test_what_cannot_be_is_refused_with_its_field(
    piece: PieceInHand, changed: dict[str, int], field: str, sentence: str
) -> None:
    with pytest.raises(changes.Refused) as refused:
        add(piece, **changed)
    assert (refused.value.field, refused.value.sentence) == (field, sentence)
    assert not piece.spots.exists()


def test_a_text_the_model_forbids_is_refused_by_its_field(piece: PieceInHand) -> None:
    with pytest.raises(changes.Refused) as refused:
        add(piece, what="two\nlines")
    assert refused.value.field == "what"


def test_a_piece_out_of_hand_takes_no_spot(piece: PieceInHand) -> None:
    changes.finish_piece(piece, DAY)
    with pytest.raises(changes.Refused, match="no longer in hand"):
        add(piece)


def test_the_tempo_steps_up_to_the_wanted_one_and_no_further(piece: PieceInHand) -> None:
    spot = add(piece)
    changes.step_tempo(spot, 80)
    spot.refresh_from_db()
    assert spot.tempo_now == 80
    with pytest.raises(changes.Refused, match="wanted, 80, lies below the tempo now, 81"):
        changes.step_tempo(spot, 81)


def test_a_solved_spot_keeps_its_tempo(piece: PieceInHand) -> None:
    spot = add(piece)
    changes.solve_spot(spot, DAY)
    with pytest.raises(changes.Refused, match="bars 3 to 4 is solved"):
        changes.step_tempo(spot, 66)


def test_solving_keeps_the_day_and_opening_again_drops_it(piece: PieceInHand) -> None:
    spot = add(piece)
    changes.solve_spot(spot, DAY)
    changes.solve_spot(spot, DAY + dt.timedelta(days=7))
    spot.refresh_from_db()
    assert (spot.state, spot.solved) == ("solved", DAY)
    changes.set_spot_state(spot, "firming", DAY)
    spot.refresh_from_db()
    assert (spot.state, spot.solved) == ("firming", None)


def test_a_state_that_does_not_exist_is_named(piece: PieceInHand) -> None:
    with pytest.raises(changes.Refused, match="“perfect” is no state"):
        changes.set_spot_state(SpotFactory.create(piece=piece), "perfect", DAY)


def test_the_spot_put_first_pushes_the_others_back_in_their_order(piece: PieceInHand) -> None:
    one, two, three = (add(piece, first_bar=bar, last_bar=bar) for bar in (1, 2, 3))
    changes.put_spot_first(three)
    assert list(piece.spots.all()) == [three, one, two]
    assert [spot.hardness for spot in piece.spots.all()] == [1, 2, 3]
