"""The measures of each part: smallest useful length, longest, and its weight in a day's minutes.

Habits of a practice room, no source; change them here and the laws still hold.
"""

from __future__ import annotations

from practice.planning.types import Part, SpotState, Stage
from studio.language import gettext as _

MOST_MINUTES = 600
SHORTEST_SESSION = 5
LIGHT_LESSON_DAY = 20

LEAST = {
    Part.STRETCH: 1,
    Part.WARM_UP: 1,
    Part.RE_WARM_UP: 1,
    Part.SCALE: 2,
}
TURN = 2  # every part that takes turns counts two minutes
MOST = {Part.STRETCH: 4, Part.WARM_UP: 10, Part.RE_WARM_UP: 4}
# Of a spot this is its weight in need; its minutes go by SPOT_WEIGHTS.
WEIGHTS = {
    Part.STRETCH: 12,
    Part.WARM_UP: 30,
    Part.RE_WARM_UP: 20,
    Part.SCALE: 60,
    Part.ETUDE: 40,
    Part.SPOT: 40,
    Part.RUN_THROUGH: 30,
    Part.FAVOURITE: 16,
    Part.EXPLORE: 16,
    Part.FREE: 20,
}
SPOT_WEIGHTS = {SpotState.TROUBLED: 30, SpotState.FIRMING: 22, SpotState.FIRM: 16}
# A run-through is wanted every n-th practice day while the piece is at this stage.
RUN_EVERY = {Stage.READING: 3, Stage.WORKING_UP: 2, Stage.POLISHING: 1}
# What was left out last week gets half as much again on the first day it is back.
LEFT_OUT_WEIGHT = (3, 2)

OPENING = (Part.WARM_UP, Part.SCALE, Part.STRETCH)
PLAYING_ORDER = {part: place for place, part in enumerate(Part)}


def name(part: Part) -> str:
    """What a part is called inside a sentence; all spots of a day are one part."""
    return {
        Part.STRETCH: _("stretch"),
        Part.WARM_UP: _("warm-up"),
        Part.RE_WARM_UP: _("re-warm-up"),
        Part.SCALE: _("scale"),
        Part.ETUDE: _("etude"),
        Part.SPOT: _("spots"),
        Part.RUN_THROUGH: _("run-through"),
        Part.FREE: _("free item"),
        Part.FAVOURITE: _("favourite"),
        Part.EXPLORE: _("explore"),
    }[part]


def the(part: Part) -> str:
    """The same with its article, as what somebody left out or fixed."""
    return {
        Part.STRETCH: _("the stretch"),
        Part.WARM_UP: _("the warm-up"),
        Part.RE_WARM_UP: _("the re-warm-up"),
        Part.SCALE: _("the scale"),
        Part.ETUDE: _("the etude"),
        Part.SPOT: _("the spots"),
        Part.RUN_THROUGH: _("the run-through"),
        Part.FREE: _("the free item"),
        Part.FAVOURITE: _("the favourite"),
        Part.EXPLORE: _("the explore"),
    }[part]


def one(part: Part) -> str:
    """What one item of the part is called."""
    return _("spot") if part == Part.SPOT else name(part)


def home(part: Part, piece: int | None, sessions: int, two_pieces: bool) -> int:
    """Which of the day's sessions (from 0) a part belongs to; `piece` is 1 or 2, or None.

    The opening is always in the first. With two pieces the second piece has the last session to
    itself; with one piece the later sessions hold etude and piece, or etude and spots, then the
    run-through.
    """
    if part in OPENING or sessions == 1:
        return 0
    if sessions == 2:
        first_half = two_pieces and (part == Part.ETUDE or piece == 1)
        return 0 if first_half else 1
    if part == Part.ETUDE:
        return 1
    if two_pieces:
        return 1 if piece == 1 else 2
    return 1 if part == Part.SPOT else 2
