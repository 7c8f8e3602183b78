import pytest

from practice.models import Spot
from practice.plans.hand import etude_title, hand_of
from studio.models import Student
from tests import factories
from tests.factories import DAY

pytestmark = pytest.mark.django_db


def test_an_empty_hand_is_empty(student: Student) -> None:
    hand = hand_of(student)
    assert (hand.scale, hand.etude, hand.pieces, hand.favourites) == (None, None, (), ())


def test_solved_spots_and_finished_pieces_are_not_in_hand(student: Student) -> None:
    piece = factories.PieceInHandFactory.create(student=student)
    factories.PieceInHandFactory.create(student=student, place=2, stage="finished", finished=DAY)
    kept = factories.SpotFactory.create(piece=piece)
    factories.SpotFactory.create(piece=piece, first_bar=9, state=Spot.State.SOLVED, solved=DAY)
    (held,) = hand_of(student).pieces
    assert [spot.id for spot in held.spots] == [kept.pk]


def test_queries_do_not_grow_with_the_hand(
    student: Student, django_assert_num_queries: object
) -> None:
    factories.ScaleInHandFactory.create(student=student)
    factories.EtudeInHandFactory.create(student=student)
    for place in (1, 2):
        piece = factories.PieceInHandFactory.create(student=student, place=place)
        factories.SpotFactory.create_batch(3, piece=piece)
    with django_assert_num_queries(5):  # type: ignore[operator]
        hand = hand_of(student)
    assert sum(len(piece.spots) for piece in hand.pieces) == 6


def test_an_etude_is_called_by_its_composers_surname_and_number() -> None:
    work = factories.EtudeWorkFactory.build(number="2")
    assert etude_title(work) == "Wohlfahrt op. 45, no. 2"
    own = factories.WorkFactory.build(title="Page 14", composer="", number="", opus="")
    assert etude_title(own) == "Page 14"


def test_bars_are_named_as_one_or_more(student: Student) -> None:
    piece = factories.PieceInHandFactory.create(student=student)
    factories.SpotFactory.create(piece=piece, first_bar=3)
    factories.SpotFactory.create(piece=piece, first_bar=7, last_bar=8)
    assert [s.label for s in hand_of(student).pieces[0].spots] == ["bar 3", "bars 7–8"]
