"""What a good order of pieces keeps to, and where an order bends it, in sentences.

The rules are common practice, no source. Four are kept wherever they can be; that the youngest
come early gives way to them. An interval parts what stands on its two sides.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum

from studio.language import gettext as _
from studio.language import ngettext


class Character(StrEnum):
    SLOW = "slow"
    FAST = "fast"
    OTHER = "other"


class Siblings(StrEnum):
    APART = "apart"
    TOGETHER = "together"
    FREE = "free"


class Rule(StrEnum):
    SLOW = "slow"
    PIANO = "piano"
    SIBLINGS = "siblings"
    ENDS = "ends"
    YOUNG = "young"


@dataclass(frozen=True)
class Played:
    """One piece on the programme; `label` names it in sentences: "Imani’s Minuet".

    `families` are those of its `players`, `born` is the birth date of the youngest of them.
    """

    key: int
    label: str
    families: frozenset[int]
    born: dt.date | None = None
    character: Character = Character.OTHER
    with_piano: bool = False
    players: frozenset[int] = frozenset()

    @property
    def slow(self) -> bool:
        return self.character is Character.SLOW


@dataclass(frozen=True)
class Wishes:
    """`most_with_piano` pieces follow one another at most, 0: as many as there are.

    `interval_after` counts the pieces before the interval, 0: there is none.
    """

    siblings: Siblings = Siblings.APART
    most_with_piano: int = 0
    interval_after: int = 0


@dataclass(frozen=True)
class Bend:
    """A rule an order does not keep; `weight` counts the pieces too many."""

    rule: Rule
    words: str
    weight: int = 1


def youngest_first(pieces: Sequence[Played]) -> list[Played]:
    """Those without a birth date come last; equals in the order of their keys."""
    return sorted(
        pieces,
        key=lambda each: (each.born is None, -each.born.toordinal() if each.born else 0, each.key),
    )


def bends(order: Sequence[Played], wishes: Wishes) -> tuple[Bend, ...]:
    """Every place at which this order bends a rule, rule by rule."""
    return (
        *_slow_in_a_row(order, wishes),
        *_ends(order),
        *_siblings(order, wishes),
        *_piano_in_a_row(order, wishes),
        *_late_young(order),
    )


def weight(found: Sequence[Bend]) -> int:
    """How much is bent of the four rules that lead."""
    return sum(each.weight for each in found if each.rule is not Rule.YOUNG)


def _neighbours(order: Sequence[Played], wishes: Wishes) -> Iterator[tuple[Played, Played]]:
    for number in range(1, len(order)):
        if number != wishes.interval_after:
            yield order[number - 1], order[number]


def _slow_in_a_row(order: Sequence[Played], wishes: Wishes) -> Iterator[Bend]:
    for one, two in _neighbours(order, wishes):
        if one.slow and two.slow:
            words = _("{one} and {two} are both slow and follow one another.")
            words = words.format(one=one.label, two=two.label)
            yield Bend(Rule.SLOW, words)


def _ends(order: Sequence[Played]) -> Iterator[Bend]:
    if order and order[0].slow:
        words = _("It opens with a slow piece, {piece}.").format(piece=order[0].label)
        yield Bend(Rule.ENDS, words)
    if order and order[-1].slow:
        words = _("It ends with a slow piece, {piece}.").format(piece=order[-1].label)
        yield Bend(Rule.ENDS, words)


def _siblings(order: Sequence[Played], wishes: Wishes) -> Iterator[Bend]:
    if wishes.siblings is Siblings.APART:
        for one, two in _neighbours(order, wishes):
            if one.families & two.families:
                if one.players & two.players:
                    words = _("{one} and {two} follow one another and share a player.")
                else:
                    words = _("{one} and {two} are of one family and follow one another.")
                words = words.format(one=one.label, two=two.label)
                yield Bend(Rule.SIBLINGS, words)
    elif wishes.siblings is Siblings.TOGETHER:
        seen: set[int] = set()
        before: frozenset[int] = frozenset()
        for each in order:
            words = _("{piece} does not follow the others of its family.")
            words = words.format(piece=each.label)
            for _family in (each.families & seen) - before:
                yield Bend(Rule.SIBLINGS, words)
            seen |= each.families
            before = each.families


def _piano_in_a_row(order: Sequence[Played], wishes: Wishes) -> Iterator[Bend]:
    most = wishes.most_with_piano
    run: list[Played] = []
    for number, each in enumerate([*order, None]):
        if each is None or not each.with_piano or number == wishes.interval_after:
            if most and len(run) > most:
                yield Bend(Rule.PIANO, _too_many(run, most), len(run) - most)
            run = []
        if each is not None and each.with_piano:
            run.append(each)


def _too_many(run: Sequence[Played], most: int) -> str:
    return ngettext(
        "{n} piece with piano follow one another, from {first} to {last};"
        " the pianist is to have a pause after {most}.",
        "{n} pieces with piano follow one another, from {first} to {last};"
        " the pianist is to have a pause after {most}.",
        len(run),
    ).format(n=len(run), first=run[0].label, last=run[-1].label, most=most)


def _late_young(order: Sequence[Played]) -> Iterator[Bend]:
    """The youngest third plays in the first half."""
    dated = [each for each in order if each.born]
    youngest = {each.key for each in youngest_first(dated)[: len(dated) // 3]}
    for each in order[(len(order) + 1) // 2 :]:
        if each.key in youngest:
            words = _("{piece} is among the youngest third and comes in the second half.")
            yield Bend(Rule.YOUNG, words.format(piece=each.label))
