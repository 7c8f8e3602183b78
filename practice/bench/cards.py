"""The bowings offered as pictures: borrowed from the spots, the next of the list, learnt ones."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass

from django.utils.translation import gettext as _

from practice.music.bowing_list import BOWINGS
from practice.music.keys import key_told
from practice.plans.hand import Hand
from practice.repertoire.models import ScaleInHand
from practice.sheets.bowed import Bowed, base_of, bowings_of, varied
from studio.people.models import Student

OFFERED = 4
SHORT_TITLE = 16  # characters of a piece's title on a card


@dataclass(frozen=True)
class Card:
    """`id` is what a scale keeps; `source` says where it comes from, in a few words."""

    id: str
    bowed: Bowed
    source: str

    @property
    def name(self) -> str:
        return self.bowed.pattern.name


@dataclass(frozen=True)
class Cards:
    """`rhythms`: what can be made of each offered bowing, by the id of the plain one; the plain
    one itself where only a variation of it is offered."""

    offered: tuple[Card, ...]
    rhythms: Mapping[str, tuple[Card, ...]]

    @property
    def all(self) -> tuple[Card, ...]:
        return (*self.offered, *(card for cards in self.rhythms.values() for card in cards))

    def of(self, ids: Iterable[str]) -> list[Card]:
        """Those with the ids, in the order of the cards."""
        wanted = set(ids)
        return [card for card in self.all if card.id in wanted]


def cards_of(student: Student, hand: Hand) -> Cards:
    """Two queries, one more when a bowing on the scale comes from a spot that is solved."""
    known = bowings_of(student, hand)
    cards = offered(hand, _learnt(student), known)
    return Cards(cards, _rhythms(cards, known))


def offered(hand: Hand, learnt: Mapping[str, str], known: Mapping[str, Bowed]) -> tuple[Card, ...]:
    """Four cards, more only when more are on the scale: those always; then the borrowed ones,
    the next of the list, the teacher's own, what was learnt before (latest first, with its key),
    and later ones.
    """
    chosen = hand.scale.bowings if hand.scale else ()
    ids = list(dict.fromkeys(_in_order(chosen, learnt, known)))
    kept = [each for each in ids if each in chosen]
    others = [each for each in ids if each not in chosen]
    taken = {*kept, *others[: max(0, OFFERED - len(kept))]}
    fresh = _fresh(chosen, learnt)
    return tuple(
        Card(each, known[each], _source(each, known[each], chosen, learnt, fresh))
        for each in ids
        if each in taken
    )


def _rhythms(cards: Iterable[Card], known: Mapping[str, Bowed]) -> dict[str, tuple[Card, ...]]:
    found: dict[str, tuple[Card, ...]] = {}
    shown = {card.id for card in cards}
    for base in dict.fromkeys(base_of(card.id) for card in cards):
        plain = known[base]
        source = f"{_short(plain.piece)}, {plain.bars}" if plain.piece else ""
        made = {base: Card(base, plain, source or _("as it is"))}
        for each, bowed in varied(base, plain).items():
            words = ", ".join(filter(None, [source, bowed.varied]))
            made[each] = Card(each, bowed, words)
        found[base] = tuple(card for card in made.values() if card.id not in shown)
    return found


def _in_order(
    chosen: Collection[str], learnt: Mapping[str, str], known: Mapping[str, Bowed]
) -> list[str]:
    borrowed = _different([each for each in known if known[each].piece], chosen, known)
    fresh = _fresh(chosen, learnt)
    own = [each for each in known if known[each].own]
    wished = [*borrowed, *chosen, *fresh[:1], *own, *learnt, *fresh[1:]]
    return [each for each in wished if each in known]


def _different(ids: list[str], chosen: Collection[str], known: Mapping[str, Bowed]) -> list[str]:
    """Two spots can have the same bowing: the one on the scale stands for both, else the first."""
    chosen_codes = {known[each].pattern.code for each in chosen if each in known}
    found: dict[str, str] = {}
    for each in ids:
        code = known[each].pattern.code
        if each in chosen or code not in chosen_codes:
            found.setdefault(code, each)
    return list(found.values())


def _fresh(chosen: Collection[str], learnt: Mapping[str, str]) -> list[str]:
    """The list from the first bowing that was never on a scale."""
    known = {*map(base_of, chosen), *learnt}
    return [each.slug for each in BOWINGS if each.slug not in known]


def _source(
    card_id: str,
    bowed: Bowed,
    chosen: Collection[str],
    learnt: Mapping[str, str],
    fresh: list[str],
) -> str:
    if bowed.piece:
        return f"{_short(bowed.piece)}, {bowed.bars}"
    if card_id in chosen:
        return _("on it now")
    if card_id in learnt:
        return _("learnt in {key}").format(key=key_told(learnt[card_id]))
    if bowed.own:
        return _("your own")
    return _("the next bowing") if fresh[:1] == [card_id] else _("for later")


def _short(title: str) -> str:
    if len(title) <= SHORT_TITLE:
        return title
    words = title[:SHORT_TITLE].rsplit(" ", 1)[0]
    return f"{words.rstrip(' ,')}…"


def _learnt(student: Student) -> dict[str, str]:
    """Bowings of scales that are behind the student, latest first, with their key; whoever has
    learnt a variation has learnt the bowing."""
    rows = ScaleInHand.objects.filter(student=student, until__isnull=False)
    found: dict[str, str] = {}
    for row in rows.order_by("-since"):
        for slug in filter(None, (row.bowing_1, row.bowing_2)):
            found.setdefault(base_of(slug), row.key)
    return found
