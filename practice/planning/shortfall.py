"""What the whole week could not keep, in sentences."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from practice.planning import parts
from practice.planning.frames import Frame
from practice.planning.turns import Candidate, Turns
from practice.planning.types import Part
from practice.planning.words import listed, weekday


def shortfall(found: Sequence[Candidate], turns: Turns, week: Sequence[Frame]) -> list[str]:
    """Parts without a turn all week, and each two practice days running without an etude."""
    return [*_without_a_turn(found, turns, week), *_etude_away(found, week)]


def _without_a_turn(found: Sequence[Candidate], turns: Turns, week: Sequence[Frame]) -> list[str]:
    """A sentence for the parts that wanted a turn and had none all week."""
    missing = {
        each.part
        for each in found
        if each.part not in turns.played_this_week()
        and each.part != Part.EXPLORE
        and any(turns.is_due(each, f.number) and each.part not in f.forbidden for f in week)
    }
    names = [parts.NAMES[part] for part in Part if part in missing]
    return [f"This week has no room for {listed(names)}."] if names else []


def _etude_away(found: Sequence[Candidate], week: Sequence[Frame]) -> list[str]:
    """A sentence for each two practice days running without an etude, if one is in hand."""
    if all(each.part != Part.ETUDE for each in found):
        return []
    return [
        f"No etude on {weekday(one.date)} and {weekday(two.date)}: {_why_no_etude(one, two)}."
        for one, two in pairwise(week)
        if not any(frame.light or frame.has(Part.ETUDE) for frame in (one, two))
    ]


def _why_no_etude(one: Frame, two: Frame) -> str:
    barred = [Part.ETUDE in frame.forbidden for frame in (one, two)]
    if all(barred):
        return "you left it out"
    return "you left it out, and the other day has no room" if any(barred) else "no room for it"
