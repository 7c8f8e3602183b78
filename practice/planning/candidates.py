"""From a week's inputs to everything that may take a turn in it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import TypeVar

from practice.planning import parts, spacing
from practice.planning.pegs import pegs
from practice.planning.turns import Candidate, Turns
from practice.planning.types import Part, PieceIn, SpotIn, WeekInputs
from practice.planning.words import in_bars

T = TypeVar("T")

# Ranks in a draw: the order in which parts are missed least gladly.
_RANKS = {Part.ETUDE: 0, Part.SPOT: 100, Part.RUN_THROUGH: 200, Part.FAVOURITE: 300}
_EXPLORE_RANK = 1000


def candidates(inputs: WeekInputs) -> list[Candidate]:
    """Etude, spots, run-throughs, favourites and explore; the opening takes no turns."""
    found = []
    if inputs.etude:
        key = f"etude:{inputs.etude.id}"
        found.append(_candidate(key, Part.ETUDE, inputs.etude.title))
    found += [_spot(rank, spot) for rank, spot in enumerate(hardest_first(inputs))]
    for rank, piece in enumerate(longest_unplayed_first(inputs)):
        key, gap = f"run:{piece.id}", run_gap(piece, inputs)
        found.append(_candidate(key, Part.RUN_THROUGH, piece.title, rank, gap, piece.place))
    for rank, each in enumerate(inputs.favourites):
        found.append(_candidate(f"favourite:{each.id}", Part.FAVOURITE, each.title, rank))
    if inputs.explore:
        found.append(_candidate("explore", Part.EXPLORE, inputs.explore.title, _EXPLORE_RANK))
    return found


def hardest_first(inputs: WeekInputs) -> list[SpotIn]:
    return sorted(inputs.spots, key=lambda spot: (spot.hardness, spot.piece, spot.id))


def longest_unplayed_first(inputs: WeekInputs) -> list[PieceIn]:
    """By the last logged run-through; pieces without one lead by turns, week by week."""
    by_day = sorted(inputs.history.logged, key=lambda entry: entry.date)
    played = {entry.key: entry.date for entry in by_day if entry.minutes}
    pieces = _turned(sorted(inputs.pieces, key=lambda piece: piece.place), inputs)
    return sorted(pieces, key=lambda piece: played.get(f"run:{piece.id}", dt.date.min))


def _turned(values: Sequence[T], inputs: WeekInputs) -> list[T]:
    """Begins one place further each week, so that what is never logged takes turns too."""
    first = inputs.days[0].date.toordinal() // 7 % max(1, len(values)) if inputs.days else 0
    return [*values[first:], *values[:first]]


def run_gap(piece: PieceIn, inputs: WeekInputs) -> int:
    """Every n-th practice day, 0 for never; a piece without spots is played every day."""
    if piece.run_every is not None:
        return piece.run_every
    if all(spot.piece != piece.place for spot in inputs.spots):
        return 1
    return parts.RUN_EVERY[piece.stage]


def opening_turns(inputs: WeekInputs, found: list[Candidate], first: dt.date, days: int) -> Turns:
    """Where everything stands on the eve of the first of so many practice days."""
    practised = {f"spot:{spot.id}": spot.last_practised for spot in inputs.spots}
    seen: dict[tuple[Part, int], int] = {}
    last: dict[str, int] = {}
    for each in found:
        rank = seen.get((each.part, each.gap), 0)
        seen[each.part, each.gap] = rank + 1
        day = practised.get(each.key)
        if day is None:
            last[each.key] = spacing.first_turn(each.gap, rank, days) - each.gap
        else:
            last[each.key] = -max(1, (first - day).days)
    last |= _favourites_waiting(inputs)
    left_out = frozenset(key for key in inputs.history.left_out if key != "explore")
    turns = Turns(left_out, last)
    if inputs.etude and f"etude:{inputs.etude.id}" in left_out:
        turns.last_part[Part.ETUDE] = -2
    return turns


def _favourites_waiting(inputs: WeekInputs) -> dict[str, int]:
    """The longest unplayed favourite has waited longest; one never played, longer still."""
    played = sorted(
        _turned(inputs.favourites, inputs), key=lambda each: each.last_played or dt.date.min
    )
    return {f"favourite:{each.id}": n - len(played) for n, each in enumerate(played)}


def _spot(rank: int, spot: SpotIn) -> Candidate:
    return Candidate(
        key=f"spot:{spot.id}",
        part=Part.SPOT,
        title=in_bars(spot.bars),
        gap=spacing.GAPS[spot.state],
        weight=parts.SPOT_WEIGHTS[spot.state],
        rank=_RANKS[Part.SPOT] + rank,
        piece=spot.piece,
        pegs=pegs(spot.tempo_now, spot.tempo_goal),
        state=spot.state,
    )


def _candidate(
    key: str, part: Part, title: str, rank: int = 0, gap: int = 1, piece: int | None = None
) -> Candidate:
    rank += _RANKS.get(part, 0)
    return Candidate(key, part, title, gap, parts.WEIGHTS[part], rank, piece)
