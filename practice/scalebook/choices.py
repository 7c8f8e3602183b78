"""The bowings a scale book can hold: borrowed from spots, the teacher's own, the list."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from django.utils.translation import gettext_noop

from practice.engraving.engrave import CARD, EngravingFailed
from practice.engraving.pictures import Picture, picture
from practice.engraving.spec import Spec
from practice.music.errors import MusicError
from practice.music.keys import parse_key
from practice.plans.hand import hand_of
from practice.repertoire.models import Spot
from practice.sheets.bowed import (
    BY_SLUG,
    Bowed,
    borrowed_pattern,
    bowings_of,
    own_bowings,
    strokes,
)
from studio.access.models import Studio
from studio.people.models import Student

CARD_KEY = parse_key("G major")
BORROWED = gettext_noop("Borrowed from spots")
OWN = gettext_noop("Your own")
LISTED = gettext_noop("Of the list")


@dataclass(frozen=True)
class Offer:
    """A bowing under the id a scale keeps it by: "slur4", "spot:12", "own:3"."""

    id: str
    bowed: Bowed

    @property
    def group(self) -> str:
        if self.bowed.piece:
            return BORROWED
        return OWN if self.bowed.own else LISTED

    @property
    def source(self) -> str:
        """Under the name: where it is from, or what the trade calls it."""
        if self.bowed.piece:
            return f"{self.bowed.piece}, {self.bowed.bars}"
        return "" if self.bowed.own else self.bowed.pattern.trade_name

    @property
    def card(self) -> Picture | None:
        try:
            return picture(Spec("card", CARD_KEY, "major", 1, self.bowed.pattern), CARD)
        except (MusicError, EngravingFailed):
            return None


def offers_for(student: Student) -> list[Offer]:
    """All that can stand on the student's scale."""
    return _in_order(bowings_of(student, hand_of(student)))


def offers_of(studio: Studio) -> list[Offer]:
    """Those of every spot in hand that are not of the list, each once; her own; and the list.
    Two queries."""
    listed = {slug: Bowed(pattern) for slug, pattern in BY_SLUG.items()}
    return _in_order(_all_borrowed(studio) | own_bowings(studio.pk) | listed)


def _all_borrowed(studio: Studio) -> dict[str, Bowed]:
    spots = Spot.objects.filter(
        piece__student__family__studio=studio, piece__finished=None, solved=None
    ).exclude(excerpt="")
    found: dict[str, Bowed] = {}
    seen = {strokes(pattern) for pattern in BY_SLUG.values()}
    for spot in spots.select_related("piece__work").order_by("piece__work__title", "first_bar"):
        pattern = borrowed_pattern(spot.excerpt)
        if pattern is not None and strokes(pattern) not in seen:
            seen.add(strokes(pattern))
            found[f"spot:{spot.pk}"] = Bowed(pattern, spot.piece.work.short_title, spot.label)
    return found


def _in_order(known: Mapping[str, Bowed]) -> list[Offer]:
    """Borrowed ones first, then her own, then the list."""
    offers = [Offer(name, bowed) for name, bowed in known.items()]
    return sorted(offers, key=lambda offer: (BORROWED, OWN, LISTED).index(offer.group))
