"""The staves of the sheet, the Bench and the scale book.

Pure: what they give goes to `practice.engraving.engrave`.
"""

from collections.abc import Collection, Mapping
from dataclasses import replace
from typing import NamedTuple

from practice.music.bowings import Pattern
from practice.music.describe import exercise_text, line_text, octaves_text, pattern_text, run_text
from practice.music.exercise import Exercise, pour
from practice.music.fingering import USUAL, Rules, fingering
from practice.music.keys import Key
from practice.music.line import Bar, Line, Note
from practice.music.mei import line_to_mei
from practice.music.pitch import Pitch
from practice.music.rhythm import Value
from practice.music.scales import Arpeggio, Form, Run, arpeggio, over_the_top, scale
from practice.music.violin import OPEN, STRINGS


class Staff(NamedTuple):
    """Music to engrave, its text alternative, and the same notes for the ear (`sounding`)."""

    mei: str
    alt: str
    line: Line


def scale_staff(
    key: Key,
    form: Form | str | None = None,
    octaves: int = 2,
    *,
    over: int = 0,
    rules: Rules = USUAL,
    fixed: Mapping[int, int] | None = None,
) -> Staff:
    """Heads without stems, fingers above, the string's name where it changes.

    The way down is shown only where its notes differ. `over`: notes over the top. A string in
    `rules` gives a scale on that string. `fixed`: the teacher's fingers by index.
    """
    run = _scale(key, form, octaves, rules)
    run = over_the_top(run, over) if over else run
    return _bare(run, rules, fixed, run_text(run, octaves))


def arpeggio_staff(
    key: Key,
    kind: Arpeggio | str = Arpeggio.TONIC,
    octaves: int = 2,
    *,
    rules: Rules = USUAL,
    fixed: Mapping[int, int] | None = None,
) -> Staff:
    """An arpeggio drawn as `scale_staff` draws a scale."""
    run = arpeggio(key, kind, octaves)
    return _bare(run, rules, fixed, run_text(run, octaves, "arpeggio"))


def bowed_arpeggio_staff(
    pattern: Pattern, key: Key, kind: Arpeggio | str = Arpeggio.TONIC, octaves: int = 2
) -> Staff:
    """An arpeggio in a bowing, up and down."""
    exercise = pour(pattern, arpeggio(key, kind, octaves))
    return _exercise_staff(exercise, octaves, None)


def bowing_staff(
    pattern: Pattern,
    key: Key,
    form: Form | str | None = None,
    octaves: int = 2,
    bars: int | None = None,
    *,
    rules: Rules = USUAL,
    fixed: Mapping[int, int] | None = None,
) -> Staff:
    """The scale in a bowing, with bow marks; the first `bars` only, or all of it."""
    exercise = pour(pattern, _scale(key, form, octaves, rules), rules=rules, fixed=fixed)
    return _exercise_staff(exercise, octaves, bars)


def bowing_card(
    pattern: Pattern, key: Key, form: Form | str | None = None, octaves: int = 1
) -> Staff:
    """One bowing on the first notes of the scale: the picture on a card, without fingers."""
    exercise = pour(pattern, scale(key, form, octaves))
    line = exercise.line.first(1)
    name = pattern.name or "bowing"
    alt = f"{name[:1].upper()}{name[1:]}: {pattern_text(pattern)}."
    return Staff(line_to_mei(line, fingers=False, end="single"), alt, line)


def excerpt_staff(excerpt: Line, title: str = "") -> Staff:
    """Bars of a piece as they stand, with the fingers and bows that are written in."""
    return Staff(line_to_mei(excerpt, end="single"), line_text(excerpt, title), excerpt)


def _scale(key: Key, form: Form | str | None, octaves: int, rules: Rules) -> Run:
    """The scale, from the open string up where it is for one string."""
    if not rules.string:
        return scale(key, form, octaves)
    run = scale(key, form, octaves, above=OPEN[STRINGS.index(rules.string)])
    return replace(run, name=f"{run.name} on the {rules.string} string")


def _exercise_staff(exercise: Exercise, octaves: int, bars: int | None) -> Staff:
    whole = bars is None or bars >= len(exercise.line.bars)
    line = exercise.line if bars is None else exercise.line.first(bars)
    end = "dbl" if whole else "single"
    mei = line_to_mei(_fewer_fingers(line, exercise.fingering.shifts), end=end)
    return Staff(mei, exercise_text(exercise, octaves, bars), line)


def _fewer_fingers(line: Line, shifts: Collection[int]) -> Line:
    """Fingers only where a string or a position begins: all stand over the plain scale."""
    bars, place = [], 0
    for bar in line.bars:
        notes = []
        for note in bar.notes:
            keep = note.string or (note.pitch and place in shifts)
            notes.append(note if keep else replace(note, finger=None))
            place += note.pitch is not None
        bars.append(replace(bar, notes=tuple(notes)))
    return replace(line, bars=tuple(bars))


def _bare(run: Run, rules: Rules, fixed: Mapping[int, int] | None, alt: str) -> Staff:
    found = fingering(run.there_and_back, rules, fixed=fixed)
    rows: list[tuple[Pitch, ...]] = [run.up]
    if run.down != run.up[::-1]:
        rows.append(run.down[1:])
    places, bars, string = iter(found.places), [], ""
    for row in rows:
        notes = []
        for pitch in row:
            place = next(places)
            label = f"{place.string} string" if place.string != string else ""
            string = place.string
            notes.append(Note(Value(4), pitch, finger=place.finger, string=label))
        bars.append(Bar(tuple(notes)))
    line = Line(run.key, None, tuple(bars))
    return Staff(line_to_mei(line, stems=False, strings=True, end="dbl"), alt, line)


__all__ = [
    "Staff",
    "arpeggio_staff",
    "bowed_arpeggio_staff",
    "bowing_card",
    "bowing_staff",
    "excerpt_staff",
    "octaves_text",
    "scale_staff",
]
