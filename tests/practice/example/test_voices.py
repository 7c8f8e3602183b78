from dataclasses import replace
from random import Random

import pytest

from practice.example.cast import Pupil, load_cast
from practice.example.voices import Deck, fits

GIRL = load_cast().households[0].students[0]
BOY = replace(GIRL, says="he")


def test_a_deck_deals_every_card_before_one_comes_again() -> None:
    deck = Deck("abcdefg", Random(1))
    for _ in range(50):
        assert sorted(deck.deal() for _ in range(7)) == list("abcdefg")


def test_no_card_comes_twice_in_a_row() -> None:
    deck = Deck("abc", Random(1))
    dealt = [deck.deal() for _ in range(600)]
    assert all(one != two for one, two in zip(dealt, dealt[1:], strict=False))


@pytest.mark.parametrize(
    ("sentence", "pupil", "fitting"),
    [
        ("By Tuesday she was showing the dog.", GIRL, True),
        ("By Tuesday she was showing the dog.", BOY, False),
        ("He says the sheet is bossy.", BOY, True),
        ("I let him off the stretch.", GIRL, False),
        ("Her brother plays bar three.", BOY, False),
        ("The shelf is hers.", BOY, False),
        ("The whole house had a cold.", BOY, True),
    ],
)
def test_a_word_is_about_the_right_child(sentence: str, pupil: Pupil, fitting: bool) -> None:
    assert fits(sentence, pupil) is fitting


def test_a_deck_passes_over_what_does_not_fit() -> None:
    deck = Deck(["He did.", "She did.", "We did."], Random(1))
    assert {deck.deal_fitting(BOY), deck.deal_fitting(BOY)} == {"He did.", "We did."}
    assert deck.deal_fitting(BOY) is None
    assert deck.deal_fitting(GIRL) == "She did."
