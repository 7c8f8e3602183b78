"""The rows of the week's grid: which items share one, in playing order, and what stands in it."""

from __future__ import annotations

import re
from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from practice.planning.types import Item, Part, WeekPlan
from practice.plans.hand import Hand, HandPiece
from practice.plans.words import MARKS, hint_of, part_name
from practice.repertoire.models import Idea
from practice.sheets import data as sheet
from studio.language.lists import listed

DETAIL_ROOM = 22  # characters that fit under an item's name
RowKey = tuple[int, int, int, str]
FROM_SPOTS_ON = list(Part).index(Part.SPOT)


@dataclass(frozen=True)
class GridRow:
    """A row of the grid and the items it sums, day by day."""

    row: sheet.Row
    days: tuple[tuple[Item, ...], ...]

    @property
    def items(self) -> list[Item]:
        return [item for day in self.days for item in day]


def grid_rows(plan: WeekPlan, number: int, hand: Hand, idea: Idea | None) -> list[GridRow]:
    """The rows of one session (its number), in playing order."""
    cells: dict[RowKey, list[list[Item]]] = {}
    for place, day in enumerate(plan.days):
        for session in day.sessions:
            if session.number != number:
                continue
            for item in session.items:
                row = cells.setdefault(_row_key(item), [[] for _ in plan.days])
                row[place].append(item)
    found = []
    for days in (cells[row] for row in sorted(cells)):
        items = [item for day in days for item in day]
        row_data = sheet.Row(
            mark=MARKS[items[0].part],
            name=part_name(items[0].part),
            minutes=tuple(sum(item.minutes for item in day) or None for day in days),
            detail=_detail(items, hand, idea),
        )
        found.append(GridRow(row_data, tuple(tuple(day) for day in days)))
    return found


def _row_key(item: Item) -> RowKey:
    """Spots and run-through go piece by piece; each free item has a row of its own."""
    order = list(Part).index(item.part)
    own = item.key if item.part is Part.FREE else ""
    if item.piece:
        return FROM_SPOTS_ON, item.piece, order, own
    return order, 0, 0, own


def _detail(items: list[Item], hand: Hand, idea: Idea | None) -> str:
    part = items[0].part
    if hint := hint_of(part):
        return hint
    if part is Part.SPOT:
        return _spots_detail(items, hand)
    if part is Part.FAVOURITE and len({item.key for item in items}) > 1:
        return _("in turn, see below")
    if part is Part.EXPLORE and idea:
        return shortened(idea.told_title)
    if part is Part.ETUDE and hand.etude:
        return shortened(hand.etude.short)
    return shortened(items[0].title)


def _spots_detail(items: list[Item], hand: Hand) -> str:
    spots = [hand.spot(int(key.partition(":")[2])) for key in dict.fromkeys(i.key for i in items)]
    found = sorted((spot for spot in spots if spot), key=lambda spot: spot.first_bar)
    if len(found) > 3:
        return _see_page_2(len(found))
    one = len(found) == 1 and not found[0].several
    bars = listed([spot.bars for spot in found])
    text = ngettext("bar {bars}", "bars {bars}", 1 if one else 2).format(bars=bars)
    if len(hand.pieces) > 1 and found:
        named = f"{_first_word(hand.piece_of(found[0]))}, {text}"
        text = named if len(named) <= DETAIL_ROOM else text
    return text if len(text) <= DETAIL_ROOM else _see_page_2(len(found))


def _see_page_2(spots: int) -> str:
    said = ngettext("{n} spot, see page 2", "{n} spots, see page 2", spots)
    return said.format(n=spots)


def _first_word(piece: HandPiece) -> str:
    return re.split(r"[\s,]", piece.title)[0]


def shortened(text: str, room: int = DETAIL_ROOM) -> str:
    """At most `room` characters, cut between words."""
    if len(text) <= room:
        return text
    kept = text[: room - 1]
    words = kept.rsplit(" ", 1)[0] if " " in kept else kept
    return f"{words.rstrip(' ,.;:')}…"
