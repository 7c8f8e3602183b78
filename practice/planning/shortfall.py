"""What the whole week could not keep, in sentences."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from practice.planning import parts
from practice.planning.frames import Frame
from practice.planning.turns import Candidate, Turns
from practice.planning.types import Part
from practice.planning.words import told
from studio.language import gettext as _
from studio.language.days import weekday
from studio.language.lists import listed


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
    names = [parts.name(part) for part in Part if part in missing]
    return [_("This week has no room for {parts}.").format(parts=listed(names))] if names else []


def _etude_away(found: Sequence[Candidate], week: Sequence[Frame]) -> list[str]:
    """A sentence for each two practice days running without an etude, if one is in hand."""
    if all(each.part != Part.ETUDE for each in found):
        return []
    return [
        _no_etude(one, two)
        for one, two in pairwise(week)
        if not any(frame.light or frame.has(Part.ETUDE) for frame in (one, two))
    ]


def _no_etude(one: Frame, two: Frame) -> str:
    barred = [Part.ETUDE in frame.forbidden for frame in (one, two)]
    if all(barred):
        said = _("No etude on {day} and {other}: you left it out.")
    elif any(barred):
        said = _("No etude on {day} and {other}: you left it out, and the other day has no room.")
    else:
        said = _("No etude on {day} and {other}: no room for it.")
    text = said.format(day=weekday(one.date), other=weekday(two.date))
    return told(text, said, one.date, two.date)
