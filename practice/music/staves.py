"""The staves of the sheet, the Bench and the scale book.

Pure: what they give goes to `practice.engraving.engrave`.
"""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from typing import NamedTuple

from practice.music.bowings import Pattern
from practice.music.describe import exercise_text, line_text, octaves_text, pattern_text, run_text
from practice.music.exercise import Exercise, pour
from practice.music.fingering import USUAL, Rules, fingering
from practice.music.how import PLAIN, How, run_of
from practice.music.keys import Key
from practice.music.line import Bar, Line, Note
from practice.music.mei import line_to_mei
from practice.music.naming import string_label, string_name
from practice.music.own_fingers import Own
from practice.music.pitch import Pitch
from practice.music.rhythm import Value
from practice.music.scales import Arpeggio, Form, Run, arpeggio, parse_arpeggio, scale
from studio.language import gettext as _
from studio.language import pgettext

SEVEN = 7  # notes of a scale until the tonic comes again


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
    how: How = PLAIN,
    whole: bool = False,
    narrow: bool = False,
) -> Staff:
    """Heads without stems, fingers above, the string's name where it changes.

    The way down is shown only where its notes differ, where the teacher has written fingers on
    it, or when the `whole` is asked for. `narrow`: the line may be broken after each octave.
    """
    run = run_of(key, form, octaves, how)
    whole = whole or any(note >= len(run.up) for note in how.own)
    text = run_text(run, octaves)
    return _bare(run, how.rules, how.own, text, whole, SEVEN if narrow else 0)


def arpeggio_staff(
    key: Key,
    kind: Arpeggio | str = Arpeggio.TONIC,
    octaves: int = 2,
    *,
    rules: Rules = USUAL,
) -> Staff:
    """An arpeggio drawn as `scale_staff` draws a scale."""
    run = arpeggio(key, kind, octaves)
    words = _("{key} arpeggio")
    if parse_arpeggio(kind) in (Arpeggio.DOMINANT7, Arpeggio.DIMINISHED7):
        words = pgettext("of a seventh chord, whose name is here", "{key} arpeggio")
    return _bare(run, rules, {}, run_text(run, octaves, words.format(key=run.name)))


def bowed_arpeggio_staff(
    pattern: Pattern,
    key: Key,
    kind: Arpeggio | str = Arpeggio.TONIC,
    octaves: int = 2,
    *,
    rules: Rules = USUAL,
) -> Staff:
    """An arpeggio in a bowing, up and down."""
    exercise = pour(pattern, arpeggio(key, kind, octaves), rules=rules)
    return _exercise_staff(exercise, octaves, None)


def bowing_staff(
    pattern: Pattern,
    key: Key,
    form: Form | str | None = None,
    octaves: int = 2,
    bars: int | None = None,
    *,
    how: How = PLAIN,
) -> Staff:
    """The scale in a bowing, with bow marks; the first `bars` only, or all of it."""
    run = run_of(key, form, octaves, how)
    exercise = pour(pattern, run, rules=how.rules, fixed=how.own)
    return _exercise_staff(exercise, octaves, bars, frozenset(how.own))


def bowing_card(
    pattern: Pattern, key: Key, form: Form | str | None = None, octaves: int = 1
) -> Staff:
    """One bowing on the first notes of the scale: the picture on a card, without fingers."""
    exercise = pour(pattern, scale(key, form, octaves))
    line = exercise.line.first(1)
    name = pattern.name or pgettext("for a bowing without a name", "bowing")
    alt = f"{name[:1].upper()}{name[1:]}: {pattern_text(pattern)}."
    return Staff(line_to_mei(line, fingers=False, end="single"), alt, line)


def excerpt_staff(excerpt: Line, title: str = "") -> Staff:
    """Bars of a piece as they stand, with the fingers and bows that are written in."""
    return Staff(line_to_mei(excerpt, end="single"), line_text(excerpt, title), excerpt)


def _exercise_staff(
    exercise: Exercise, octaves: int, bars: int | None, own: Collection[int] = ()
) -> Staff:
    whole = bars is None or bars >= len(exercise.line.bars)
    line = exercise.line if bars is None else exercise.line.first(bars)
    end = "dbl" if whole else "single"
    written = {place for place, note in enumerate(exercise.places) if note in own}
    mei = line_to_mei(_fewer_fingers(line, {*exercise.fingering.shifts, *written}), end=end)
    return Staff(mei, exercise_text(exercise, octaves, bars), line)


def _fewer_fingers(line: Line, told: Collection[int]) -> Line:
    """Fingers only where a string or a position begins, or the teacher wrote one: all of them
    stand over the plain scale."""
    bars, place = [], 0
    for bar in line.bars:
        notes = []
        for note in bar.notes:
            keep = note.string or (note.pitch and place in told)
            notes.append(note if keep else replace(note, finger=None))
            place += note.pitch is not None
        bars.append(replace(bar, notes=tuple(notes)))
    return replace(line, bars=tuple(bars))


def _bare(
    run: Run,
    rules: Rules,
    own: Mapping[int, Own],
    alt: str,
    whole: bool = False,
    broken_after: int = 0,
) -> Staff:
    found = fingering(run.there_and_back, rules, fixed=own)
    rows: list[tuple[Pitch, ...]] = [run.up]
    if whole or run.down != run.up[::-1]:
        rows.append(run.down[1:])
    labels = iter(_string_names([place.string for place in found.places]))
    places, bars = iter(found.places), []
    for row in rows:
        notes = [
            Note(Value(4), pitch, finger=next(places).finger, string=next(labels)) for pitch in row
        ]
        bars += _broken(notes, broken_after or len(notes))
    line = Line(run.key, None, tuple(bars))
    return Staff(line_to_mei(line, stems=False, strings=True, end="dbl"), alt, line)


def _string_names(strings: Sequence[str]) -> list[str]:
    """ "G string" where a string begins; its letter alone where one of the next two notes leaves
    it again, for the words would run into the next ones."""
    found, before = [], ""
    for place, string in enumerate(strings):
        stays = set(strings[place : place + 3]) == {string}
        name = string_label(string) if stays else string_name(string)
        found.append(name if string != before else "")
        before = string
    return found


def _broken(notes: list[Note], every: int) -> list[Bar]:
    """Bars without bar lines between them; a last note alone stays with the ones before."""
    starts = [at for at in range(0, len(notes), every) if at == 0 or len(notes) - at > 1]
    parts = [notes[at:end] for at, end in zip(starts, [*starts[1:], len(notes)], strict=True)]
    return [Bar(tuple(part), open=part is not parts[-1]) for part in parts]


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
