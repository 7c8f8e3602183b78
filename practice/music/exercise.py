"""A bowing poured into a scale: bars of notes with values, slurs, bows and fingers.

How a scale that does not divide evenly is completed, in this order:
1. The last tonic always stands alone, one long note that fills its bar.
2. The notes before it should fill whole bowings (or equal parts of one). Where they do not, the
   turn at the top goes one or two notes over the top note, the foot may touch the note below
   the tonic, or the top note is played twice (never under one slur). The smallest of these
   changes that fits is taken; none leaves first position for its own sake.
3. Where none fits, the last bowing is completed on the tonic, one bow a note.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import NamedTuple

from practice.music.bowings import Pattern, other_bow
from practice.music.errors import DoesNotFit
from practice.music.fingering import USUAL, Fingering, Rules, fingering
from practice.music.line import Bar, Bow, Line, Note
from practice.music.naming import string_label
from practice.music.own_fingers import Own
from practice.music.pitch import Pitch
from practice.music.rhythm import Metre, fill
from practice.music.scales import Run
from practice.music.turns import TURNS, Turn
from practice.music.violin import STRINGS, hands, open_string
from studio.language import gettext as _
from studio.language import ngettext

FIRST_POSITION_TOP = Pitch("B", 0, 5)


@dataclass(frozen=True, slots=True)
class Exercise:
    """`line` holds the bars; `turned` the bars (from 1) whose bowing begins with the other bow;
    `completion` says in words how the scale was made to fit ("" where it fits as it is).
    `places`: which note of the run, up and down, each sounding note is; None for added ones."""

    line: Line
    run: Run
    pattern: Pattern
    fingering: Fingering
    turned: tuple[int, ...]
    completion: str
    places: tuple[int | None, ...] = ()

    @property
    def bow_remark(self) -> str:
        """Where the bow turns round, for the student."""
        if not self.turned:
            down, up = _("Every bowing begins down-bow."), _("Every bowing begins up-bow.")
            return down if self.pattern.start == "down" else up
        count = len(self.turned)
        bars = ", ".join(map(str, self.turned[:3])) + (" …" if count > 3 else "")
        words = ngettext(
            "The bow turns round: bar {bars} begins down-bow.",
            "The bow turns round: bars {bars} begin down-bow.",
            count,
        )
        if self.pattern.start == "down":
            words = ngettext(
                "The bow turns round: bar {bars} begins up-bow.",
                "The bow turns round: bars {bars} begin up-bow.",
                count,
            )
        return words.format(bars=bars)


class _Step(NamedTuple):
    """A note of the exercise, and which one of the run it is."""

    pitch: Pitch
    place: int | None = None


def pour(
    pattern: Pattern,
    run: Run,
    *,
    metre: Metre | None = None,
    rules: Rules = USUAL,
    fixed: Mapping[int, int | Own] | None = None,
) -> Exercise:
    """The run up and down in the pattern's bowing, ended by a long tonic.

    `metre` defaults to the pattern's own. `fixed` is what the teacher has written, by place in
    the run up and down (top note once); it stands wherever that note is played. A turn adds only
    notes the hand reaches under the `rules`, and for a run up to B5, the highest note of first
    position, none above it.
    Raises DoesNotFit when a note would cross a bar line in that metre.
    """
    metre = metre or pattern.metre
    turn, steps = _solve(pattern, run, rules)
    events, turned = _lay(pattern, [step.pitch for step in steps], run.up[0], metre)
    line = Line(run.key, metre, _bars(events, metre))
    places: list[int | None] = [step.place for step in steps for _ in range(pattern.each)]
    places += [2 * len(run.up) - 2] * (len(line.pitches) - len(places))
    given = fixed or {}
    own = {i: given[p] for i, p in enumerate(places) if p is not None and p in given}
    found = fingering(line.pitches, rules, slurred=line.slurred, fixed=own)
    completion = turn.words(more=run.over > 0)
    if _uneven(pattern, steps):
        completion = _("Complete the last bowing on the last note, one bow a note.")
    line = _with_fingers(line, found)
    return Exercise(line, run, pattern, found, turned, completion, tuple(places))


def _reached(pitch: Pitch, run: Run, rules: Rules) -> bool:
    """Whether a turn may touch the note: in the student's positions, and without a stretch."""
    if run.top.midi <= FIRST_POSITION_TOP.midi < pitch.midi:
        return False
    strings = {hand.string for hand in hands(pitch, rules.highest_position) if not hand.reach}
    names = {STRINGS[string] for string in {*strings, open_string(pitch)} if string is not None}
    return rules.string in names if rules.string else bool(names)


def _solve(pattern: Pattern, run: Run, rules: Rules) -> tuple[Turn, list[_Step]]:
    """The smallest turn that makes the notes before the last tonic fill whole bowings."""
    for turn in TURNS:
        notes = _turned(run, turn, rules)
        if notes is None or _uneven(pattern, notes):
            continue
        if turn.twice and not _separate(pattern, len(run.up) * pattern.each):
            continue
        return turn, notes
    plain = _turned(run, Turn(), rules)
    return Turn(), plain or []


def _uneven(pattern: Pattern, notes: Sequence[_Step]) -> bool:
    return len(notes) * pattern.each * pattern.repeats % pattern.notes != 0


def _turned(run: Run, turn: Turn, rules: Rules) -> list[_Step] | None:
    """All notes but the last tonic, or None where the violin or the hand forbids the turn."""
    over, under = run.beyond[: turn.over], run.under if turn.under else ()
    if len(over) < turn.over or len(under) < turn.under:
        return None
    if not all(_reached(pitch, run, rules) for pitch in (*over, *under)):
        return None
    *way, home = (_Step(pitch, place) for place, pitch in enumerate(run.there_and_back))
    up, down = way[: len(run.up)], way[len(run.up) :]
    top = [*map(_Step, (*over, *over[-2::-1])), up[-1]] if over else []
    if turn.twice:
        top = [up[-1]]
    foot = [home, *map(_Step, under)] if under else []
    return [*up, *top, *down, *foot]


def _separate(pattern: Pattern, played: int) -> bool:
    """Whether a new stroke begins after so many notes."""
    place, done = played % pattern.notes, 0
    for count in pattern.slurs:
        if done == place:
            return True
        done += count
    return place == 0


def _lay(
    pattern: Pattern, notes: Sequence[Pitch], tonic: Pitch, metre: Metre
) -> tuple[list[Note], tuple[int, ...]]:
    """The pattern repeated over the notes, then the long tonic; and the bars it turns round in."""
    played = [note for note in notes for _ in range(pattern.each)]
    events: list[Note] = []
    turned: list[int] = []
    time, bow = Fraction(0), pattern.start
    for begin in range(0, len(played), pattern.notes):
        group = played[begin : begin + pattern.notes]
        if bow != pattern.start:
            turned.append(int(time / metre.bar) + 1)
        laid = pattern
        parts, cut = divmod(len(group) * pattern.repeats, pattern.notes)
        if not cut:
            laid = pattern.part(parts, pattern.repeats)
        events += _cycle(laid, group, bow, tonic)
        strokes = _loose(laid, len(group)) if cut else len(laid.slurs)
        bow = _after(pattern, strokes, bow)
        time += laid.quarters
    room = (-time) % metre.bar or metre.bar
    last = [Note(value, tonic, tie=True) for value in fill(room)]
    last[0] = replace(last[0], bow=bow)
    last[-1] = replace(last[-1], tie=False)
    return events + last, tuple(dict.fromkeys(turned))


def _loose(pattern: Pattern, notes: int) -> int:
    """Strokes of a last bowing that is completed with single notes on the tonic."""
    strokes, left = 0, notes
    for count in pattern.slurs:
        if left <= 0:
            break
        strokes += 1
        left -= count
    return strokes + pattern.notes - notes


def _after(pattern: Pattern, strokes: int, bow: Bow) -> Bow:
    """Direction of the stroke that follows so many strokes begun with `bow`."""
    kept = sum(1 for s in pattern.same_bow if 0 < s < strokes)
    return bow if (strokes - kept) % 2 == 0 else other_bow(bow)


def _cycle(pattern: Pattern, group: Sequence[Pitch], bow: Bow, tonic: Pitch) -> list[Note]:
    """One bowing; places beyond the group are single notes on the tonic."""
    events: list[Note] = []
    stroke, left, at = -1, 0, 0
    for value in pattern.values:
        if value.rest:
            events.append(Note(value))
            continue
        starts = left == 0
        if at >= len(group):
            bow = other_bow(bow)
            events.append(Note(value, tonic, bow, articulation=pattern.articulation[at]))
            at += 1
            continue
        if starts:
            stroke += 1
            left = min(pattern.slurs[stroke], len(group) - at)
            if stroke and stroke not in pattern.same_bow:
                bow = other_bow(bow)
        slurred = pattern.slurs[stroke] > 1
        left -= 1
        events.append(
            Note(
                value,
                group[at],
                bow if starts else "",
                slur_start=slurred and starts and left > 0,
                slur_end=slurred and left == 0 and not starts,
                articulation=pattern.articulation[at],
            )
        )
        at += 1
    return events


def _bars(events: Sequence[Note], metre: Metre) -> tuple[Bar, ...]:
    bars: list[Bar] = []
    notes: list[Note] = []
    room = metre.bar
    for note in events:
        if note.quarters > room:
            words = _("In {metre} a {value} of this bowing would cross the bar line.")
            raise DoesNotFit(words.format(metre=metre, value=note.value.name))
        notes.append(note)
        room -= note.quarters
        if room == 0:
            bars.append(Bar(tuple(notes)))
            notes, room = [], metre.bar
    if notes:
        bars.append(Bar(tuple(notes)))
    return tuple(bars)


def _with_fingers(line: Line, found: Fingering) -> Line:
    """The line with fingers over its notes and the string's name where it changes."""
    places = iter(found.places)
    bars, string = [], ""
    for bar in line.bars:
        notes = []
        for note in bar.notes:
            if note.pitch:
                place = next(places)
                label = string_label(place.string) if place.string != string else ""
                string = place.string
                note = replace(note, finger=place.finger, string=label)
            notes.append(note)
        bars.append(replace(bar, notes=tuple(notes)))
    return replace(line, bars=tuple(bars))
