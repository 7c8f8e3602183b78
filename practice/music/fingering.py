"""Which string, position and finger for each note: one cost model, cheapest path.

Every figure of the model stands in `Costs`; the path with the lowest sum is chosen. The figures
are ours, set so that first-position scales come out as the handbooks have them and three-octave
scales shift as commonly taught (common practice, no source).
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from operator import add
from typing import Literal

from practice.music.errors import NoFingering
from practice.music.naming import string_name
from practice.music.own_fingers import Own
from practice.music.pitch import Pitch
from practice.music.violin import (
    HIGHEST_POSITION,
    OPEN,
    STRINGS,
    Hand,
    Place,
    hands,
    open_string,
    position_name,
)
from studio.language import gettext as _
from studio.language.lists import listed


@dataclass(frozen=True, slots=True)
class Costs:
    """What the hand pays for, in steps of roughly one small inconvenience."""

    crossing: float = 0.4  # to the next string
    skipping: float = 1.5  # for each string jumped over
    fourth_finger: float = 0.4  # so that an open string wins where both do
    open_unwanted: float = 6.0  # when open strings are to be avoided
    open_high_up: float = 0.5  # an open string per position above first
    respelled_open: float = 2.0  # F double sharp as open G
    position: float = 0.5  # each note out of first position ...
    per_position: float = 0.1  # ... and a little more the higher it is
    second_position: float = 0.2  # less familiar than third
    thick_string: float = 1.2  # each position above fourth on G, D or A
    away: float = 3.0  # a line that begins or ends out of first position
    against: float = 1.2  # to a lower string for a higher note, or the other way round
    shift: float = 4.0
    length: float = 0.16  # times the square of the shift's semitones
    longest_on_open: float = 5.0  # an open string gives time for any leap
    shift_in_slur: float = 3.0
    shift_on_open: float = -2.0  # the hand moves while an open string sounds
    shift_and_cross: float = 2.0
    shift_off_first: float = 1.0  # upward per finger it lands above the first, downward leaves
    shift_off_fourth: float = 1.0  # upward from the fourth finger, downward onto it
    sliding_finger: float = 0.5  # the same finger slides: heard between neighbouring notes
    hand_leans: float = 0.4  # the frame moves a semitone within the position
    same_finger: float = 4.0  # one finger, two neighbouring notes, no shift
    finger_hops: float = 0.8  # one finger, two strings


COSTS = Costs()
_TOO_DEAR = 3.0  # dropping more changes some of 490 scales, arpeggios and lines tried; this none


@dataclass(frozen=True, slots=True)
class Rules:
    """The teacher's wishes for one fingering.

    `open_strings`: "use" (open wherever the hand allows) or "avoid". `highest_position`: 1 keeps
    the student in first position. `string`: one letter, for a scale on one string.
    """

    open_strings: Literal["use", "avoid"] = "use"
    highest_position: int = HIGHEST_POSITION
    string: str = ""


USUAL = Rules()


@dataclass(frozen=True, slots=True)
class Fingering:
    """One place per note, the notes at which the hand has shifted, and the path's cost."""

    places: tuple[Place, ...]
    shifts: tuple[int, ...]
    cost: float


def fingering(
    pitches: Sequence[Pitch],
    rules: Rules = USUAL,
    *,
    slurred: Sequence[bool] = (),
    fixed: Mapping[int, int | Own] | None = None,
) -> Fingering:
    """The cheapest fingering of a line of notes.

    `slurred[i]` says that note i hangs on the slur of the note before it. `fixed` holds what the
    teacher has written over a note, by index: a finger (0 to 4), a string or both; always kept.
    Raises NoFingering naming the first note that cannot be played.
    """
    ties = tuple(slurred) or (False,) * len(pitches)
    if len(ties) != len(pitches):
        words = _("{marks} slur marks for {n} notes.")
        raise NoFingering(words.format(marks=len(ties), n=len(pitches)))
    own = {i: Own(each) if isinstance(each, int) else each for i, each in (fixed or {}).items()}
    return _cheapest(tuple(pitches), rules, ties, tuple(sorted(own.items())))


@lru_cache(maxsize=512)
def _cheapest(
    pitches: tuple[Pitch, ...],
    rules: Rules,
    slurred: tuple[bool, ...],
    fixed: tuple[tuple[int, Own], ...],
) -> Fingering:
    if not pitches:
        return Fingering((), (), 0.0)
    wanted = dict(fixed)
    asked = [(pitch, rules, wanted.get(i, _FREE)) for i, pitch in enumerate(pitches)]
    best = [cost + _away(hand) for hand, cost in _choices(*asked[0])]
    came_from: list[list[int]] = []
    for i in range(1, len(asked)):
        costs, back = [], []
        ways = _ways(asked[i - 1], asked[i], slurred[i])
        for choice, row in zip(_choices(*asked[i]), ways, strict=True):
            sums = list(map(add, best, row))
            least = min(sums)
            costs.append(least + choice[1])
            back.append(sums.index(least))
        best = costs
        came_from.append(back)
    best = [cost + _away(hand) for cost, (hand, _) in zip(best, _choices(*asked[-1]), strict=True)]
    total = min(best)
    path = [best.index(total)]
    for back in reversed(came_from):
        path.append(back[path[-1]])
    chosen = [_choices(*ask)[k][0] for ask, k in zip(asked, reversed(path), strict=True)]
    return Fingering(tuple(map(_place, chosen)), _shifts(chosen), round(total, 2))


_Asked = tuple[Pitch, Rules, Own]
_FREE = Own()


@lru_cache(maxsize=4096)
def _ways(before: _Asked, after: _Asked, slurred: bool) -> tuple[tuple[float, ...], ...]:
    """Costs of every step between two notes: a row for each place of the second."""
    return tuple(
        tuple(_moving(here, there, slurred) for here, _ in _choices(*before))
        for there, _ in _choices(*after)
    )


@lru_cache(maxsize=2048)
def _choices(pitch: Pitch, rules: Rules, own: Own) -> tuple[tuple[Hand, float], ...]:
    """Places for one note with their own cost, under the rules and the teacher's own.

    Places far dearer than the best are left out: no path ever took one.
    """
    choices = list(hands(pitch, rules.highest_position))
    string = open_string(pitch)
    if string is not None:
        # On an open string the hand may stand in any frame, and so shift while it sounds.
        for position, frame in ((0, 1), (1, 2), (2, 3), (2, 4), (3, 5), (4, 7)):
            if position <= max(1, rules.highest_position):
                choices.append(Hand(string, position, frame, 0, 0, "", 0.0))
    for only in filter(None, (rules.string, own.string)):
        choices = [hand for hand in choices if STRINGS[hand.string] == only]
    if own.finger is not None:
        choices = [hand for hand in choices if hand.finger == own.finger]
    if not choices:
        raise NoFingering(_unplayable(pitch, rules, own))
    priced = [(hand, _standing(hand, pitch, rules)) for hand in choices]
    dearest = min(cost for _, cost in priced) + _TOO_DEAR
    return tuple((hand, cost) for hand, cost in priced if cost <= dearest)


def _unplayable(pitch: Pitch, rules: Rules, own: Own) -> str:
    how = []
    if own.finger is not None:
        words = _("with finger {finger}") if own.finger else _("as an open string")
        how.append(words.format(finger=own.finger))
    strings = dict.fromkeys(filter(None, (rules.string, own.string)))
    if strings:
        where = _("on the {string} string")
        how.append(listed([where.format(string=string_name(each)) for each in strings]))
    if rules.highest_position < HIGHEST_POSITION:
        limit = _("in {position}") if rules.highest_position == 1 else _("up to {position}")
        how.append(limit.format(position=position_name(rules.highest_position)))
    said = _("{note} cannot be played {how}.") if how else _("{note} cannot be played.")
    return said.format(note=pitch.text(), how=" ".join(how))


def _standing(hand: Hand, pitch: Pitch, rules: Rules, c: Costs = COSTS) -> float:
    """What a place costs by itself."""
    if hand.finger == 0:
        cost = c.open_unwanted if rules.open_strings == "avoid" else 0.0
        cost += c.open_high_up * max(0, hand.position - 1)
        return cost + (c.respelled_open if pitch.step != OPEN[hand.string].step else 0.0)
    cost = hand.reach_cost + (c.fourth_finger if hand.finger == 4 else 0.0)
    if hand.position != 1:
        cost += c.position + c.per_position * hand.position
    if hand.position == 2:
        cost += c.second_position
    if hand.string < 3:
        cost += c.thick_string * max(0, hand.position - 4)
    return cost


def _away(hand: Hand, c: Costs = COSTS) -> float:
    return c.away if hand.finger and hand.position > 1 else 0.0


def _sounds(hand: Hand) -> int:
    return OPEN[hand.string].midi + (hand.frame + hand.offset if hand.finger else 0)


def _moving(before: Hand, after: Hand, slurred: bool, c: Costs = COSTS) -> float:
    """What it costs to come from one place to the next."""
    strings = abs(after.string - before.string)
    cost = c.crossing * strings + c.skipping * max(0, strings - 1)
    if (after.string - before.string) * (_sounds(after) - _sounds(before)) < 0:
        cost += c.against
    if before.position != after.position:
        return cost + _shifting(before, after, slurred, c)
    if before.frame != after.frame:
        cost += c.hand_leans
    if before.finger and before.finger == after.finger:
        if strings:
            cost += c.finger_hops
        elif before.frame + before.offset != after.frame + after.offset:
            cost += c.same_finger
    return cost


def _shifting(before: Hand, after: Hand, slurred: bool, c: Costs) -> float:
    """A change of position. The first finger leads up and stays down last on the way back."""
    length = c.length * (after.frame - before.frame) ** 2
    cost = c.shift + (c.shift_in_slur if slurred else 0.0)
    if before.finger == 0 or after.finger == 0:
        return cost + c.shift_on_open + min(length, c.longest_on_open)
    cost += length
    if before.string != after.string:
        cost += c.shift_and_cross
    elif before.finger == after.finger:
        cost += c.sliding_finger
    lower, upper = (before, after) if after.frame > before.frame else (after, before)
    cost += c.shift_off_first * (upper.finger - 1)
    return cost + (c.shift_off_fourth if lower.finger == 4 else 0.0)


def _place(hand: Hand) -> Place:
    position = hand.position if hand.finger else 1
    return Place(STRINGS[hand.string], position, hand.finger, hand.reach)


def _shifts(path: Sequence[Hand]) -> tuple[int, ...]:
    """Indexes of the stopped notes that stand in another position than the stopped one before."""
    found, position = [], None
    for i, hand in enumerate(path):
        if hand.finger:
            if position is not None and hand.position != position:
                found.append(i)
            position = hand.position
    return tuple(found)
