import datetime as dt

import pytest

from practice.bench.cards import cards_of, offered
from practice.music.bowing_list import BOWINGS
from practice.plans.hand import Hand, HandPiece, HandScale, HandSpot, hand_of
from practice.sheets.bowed import BY_SLUG, Bowed, borrowed_pattern, chosen_bowings
from studio.models import Student
from tests.factories import PieceInHandFactory, ScaleInHandFactory, SpotFactory

pytestmark = pytest.mark.django_db

DAY = dt.date(2026, 11, 11)
FIRST, SECOND, THIRD = (pattern.slug for pattern in BOWINGS[:3])
MINUET = "[K:G][M:3/4][L:1/8]e2 (cd) (ef)"


def hand(*bowings: str) -> Hand:
    spot = HandSpot(12, 3, 3, "C is a low 2", 60, 80, excerpt=MINUET)
    piece = HandPiece(7, 1, 1, "Minuet in G", "Petzold", "reading", DAY, (spot,))
    return Hand(scale=HandScale(5, "G major", "major", 2, DAY, bowings), pieces=(piece,))


def known(**more: Bowed) -> dict[str, Bowed]:
    pattern = borrowed_pattern(MINUET)
    assert pattern is not None
    found = {slug: Bowed(each) for slug, each in BY_SLUG.items()}
    return {**found, "spot:12": Bowed(pattern, "Minuet in G", "bar 3"), **more}


def ids(*bowings: str, learnt: dict[str, str] | None = None) -> list[str]:
    return [card.id for card in offered(hand(*bowings), learnt or {}, known())]


def test_the_borrowed_bowing_comes_first_and_names_its_bar() -> None:
    card = offered(hand(), {}, known())[0]
    assert (card.id, card.name, card.source) == ("spot:12", "long, two, two", "Minuet in G, bar 3")


def test_then_the_next_of_the_list_then_what_was_learnt() -> None:
    learnt = {FIRST: "C major"}
    cards = offered(hand(), learnt, known())
    assert [(card.id, card.source) for card in cards] == [
        ("spot:12", "Minuet in G, bar 3"),
        (SECOND, "the next bowing"),
        (FIRST, "learnt in C major"),
        (THIRD, "for later"),
    ]


def test_what_is_on_the_scale_is_always_offered() -> None:
    late = BOWINGS[-1].slug
    assert late in ids(late, learnt={each.slug: "D major" for each in BOWINGS[:9]})
    assert len(ids("spot:12", late)) == 4


def test_the_same_bowing_from_two_spots_is_offered_once() -> None:
    pattern = borrowed_pattern(MINUET)
    assert pattern is not None
    twice = known() | {"spot:13": Bowed(pattern, "Minuet in G", "bar 7")}
    assert [c.id for c in offered(hand(), {}, twice)].count("spot:13") == 0
    chosen = [c.id for c in offered(hand("spot:13"), {}, twice)]
    assert "spot:13" in chosen
    assert "spot:12" not in chosen


def test_bars_that_cannot_be_read_lend_no_bowing() -> None:
    assert borrowed_pattern("") is None
    assert borrowed_pattern("this is no music !") is None


def test_a_borrowed_bowing_of_the_list_has_its_name() -> None:
    pattern = borrowed_pattern("[K:D][M:2/4][L:1/8]D>A F>A")
    assert pattern is not None
    assert pattern.name == BY_SLUG["long-short"].name


def test_rhythms_and_double_speed_are_made_of_what_is_offered(student: Student) -> None:
    ScaleInHandFactory.create(student=student, bowing_1="slur2", bowing_2="slur4+doubled")
    cards = cards_of(student, hand_of(student))
    assert {"slur2", "slur4+doubled"} <= {card.id for card in cards.offered}
    made = {card.id: card for card in cards.rhythms["slur2"]}
    assert list(made) == ["slur2+long-short", "slur2+short-long", "slur2+doubled"]
    assert made["slur2+doubled"].name == "two in a bow, twice as fast"
    plain = cards.rhythms["slur4"][0]
    assert (plain.id, plain.source) == ("slur4", "as it is")
    assert "slur4+doubled" not in [card.id for card in cards.rhythms["slur4"]]


def test_a_variation_of_a_borrowed_bowing_says_where_it_comes_from(student: Student) -> None:
    piece = PieceInHandFactory.create(student=student)
    spot = SpotFactory.create(piece=piece, excerpt=MINUET)
    ScaleInHandFactory.create(student=student, bowing_1=f"spot:{spot.pk}+doubled")
    hand = hand_of(student)
    assert [each.source for each in chosen_bowings(student, hand)] == [
        "It is bar 3 of your Minuet in G, twice as fast."
    ]
    card = next(c for c in cards_of(student, hand).offered if c.id.endswith("+doubled"))
    assert card.source == "Minuet in G, bar 3"


def test_a_variation_counts_as_the_bowing_learnt(student: Student) -> None:
    ScaleInHandFactory.create(student=student, bowing_1=f"{FIRST}+doubled", until=DAY, since=DAY)
    ScaleInHandFactory.create(student=student, bowing_1="", since=DAY)
    cards = {card.id: card.source for card in cards_of(student, hand_of(student)).offered}
    assert cards[FIRST] == "learnt in G major"
    assert cards[SECOND] == "the next bowing"
