"""Who writes what: sentences dealt from decks, so that nobody reads the same one twice soon."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from random import Random
from typing import Final

from practice.example.cast import Pupil, load_sentences, load_words

GROWN: Final = 20  # years
TEEN: Final = 13
ABOUT_HER: Final = re.compile(r"\b(she|her|hers)\b", re.IGNORECASE)
ABOUT_HIM: Final = re.compile(r"\b(he|him|his)\b", re.IGNORECASE)


class Deck:
    """Deals its cards in a shuffled order, and shuffles anew when they are used up."""

    def __init__(self, cards: Sequence[str], rng: Random) -> None:
        self.rng, self.cards = rng, list(cards)
        self.left: list[str] = []
        self.last = ""

    def deal(self) -> str:
        self._refill()
        self.last = self.left.pop()
        return self.last

    def deal_fitting(self, pupil: Pupil) -> str | None:
        """The next card that speaks of the right person; None when no such card is left."""
        self._refill()
        for place in range(len(self.left) - 1, -1, -1):
            if fits(self.left[place], pupil):
                self.last = self.left.pop(place)
                return self.last
        return None

    def _refill(self) -> None:
        """The last card of the old round is not the first of the new one."""
        if not self.left:
            self.left = self.rng.sample(self.cards, len(self.cards))
            if self.left[-1] == self.last:
                self.left.reverse()


def fits(sentence: str, pupil: Pupil) -> bool:
    other = ABOUT_HIM if pupil.says == "she" else ABOUT_HER
    return not other.search(sentence)


class Voices:
    """One studio's decks of words from home; the families share them."""

    def __init__(self, rng: Random) -> None:
        self.decks = {kind: Deck(words, rng) for kind, words in load_words().items()}

    def word(self, pupil: Pupil, rng: Random) -> str | None:
        own = self.decks.get(pupil.key)
        if own is not None and rng.random() < 0.6:
            return own.deal()
        if pupil.habit == "never":
            return None
        if pupil.age >= GROWN:
            return self.decks["grown"].deal()
        if pupil.age >= TEEN:
            return self.decks["teen"].deal()
        if rng.random() < 0.25:
            return self.decks["child"].deal()
        return self.decks["parent"].deal_fitting(pupil)


class Teacher:
    """What the teacher writes for one student."""

    def __init__(self, pupil: Pupil, rng: Random) -> None:
        said = load_sentences()
        self.listen = Deck(_listening(pupil, said["listen"]), rng)
        self.check = Deck(said["check"]["any"], rng)
        self.note = Deck(said["notes"]["private"], rng)
        self.sheet_note = Deck(said["notes"]["sheet"], rng)


def _listening(pupil: Pupil, kinds: Mapping[str, list[str]]) -> list[str]:
    if pupil.style == "pre-reader" or pupil.age < 8:
        return kinds["small"]
    if pupil.difficulty >= 7:
        chosen = kinds["far"] + kinds["middle"]
    elif pupil.difficulty >= 4:
        chosen = kinds["middle"]
    else:
        chosen = kinds["early"]
    return kinds["grown"] + chosen if pupil.age >= GROWN else chosen
