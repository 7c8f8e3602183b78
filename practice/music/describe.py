"""Music in words: the text alternative of every engraving."""

from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

from practice.music.bowings import Pattern
from practice.music.exercise import Exercise
from practice.music.line import Bow, Line, Note
from practice.music.pitch import Pitch
from practice.music.rhythm import Value
from practice.music.scales import Run
from studio.language import gettext as _
from studio.language import ngettext, pgettext


def octaves_text(octaves: int) -> str:
    """ "two octaves"."""
    return {1: _("one octave"), 2: _("two octaves"), 3: _("three octaves")}[octaves]


def notes_text(pitches: Sequence[Pitch]) -> str:
    """ "G A B C D E F sharp G": letters and alterations, no octave numbers."""
    return " ".join(pitch.text(octave=False) for pitch in pitches)


def run_text(run: Run, octaves: int, name: str = "") -> str:
    """ "G major, two octaves: G A B …"; the way down only where it differs."""
    words = _("{scale}, {octaves}: {notes}.")
    if run.down != run.up[::-1]:
        words = _("{scale}, {octaves}: {notes}; down: {down}.")
    return words.format(
        scale=name or run.name,
        octaves=octaves_text(octaves),
        notes=notes_text(run.up),
        down=notes_text(run.down),
    )


def pattern_text(pattern: Pattern) -> str:
    """What one bowing does, stroke by stroke: "quarter note down, two eighth notes in one up"."""
    strokes: list[_Stroke] = []
    sounding = [value for value in pattern.values if not value.rest]
    done = 0
    for count, bow in zip(pattern.slurs, pattern.directions, strict=True):
        marks = set(pattern.articulation[done : done + count]) - {""}
        strokes.append(_Stroke(sounding[done : done + count], bow, sorted(marks)))
        done += count
    words = "{strokes}"
    if any(v.tuplet == (3, 2) for v in pattern.values):
        words = _("{strokes} in triplets")
    if not pattern.on_string:
        words = _("Off the string. {bowing}").format(bowing=words)
    return words.format(strokes="; ".join(_joined(strokes)))


class _Stroke(NamedTuple):
    values: list[Value]
    bow: Bow
    marks: list[str]

    @property
    def words(self) -> str:
        return self.told(self.bow)

    def told(self, bow: Bow) -> str:
        """With its bow, or without: "eighth note down with dots"."""
        if len(self.values) == 1:
            words = {"": "{notes}", "down": _("{notes} down"), "up": _("{notes} up")}[bow]
        else:
            words = {
                "": _("{notes} in one bow"),
                "down": _("{notes} in one down-bow"),
                "up": _("{notes} in one up-bow"),
            }[bow]
        text = words.format(notes=_values_text(self.values))
        for mark in self.marks:
            text = _with_mark(text, mark)
        return text


def _values_text(values: Sequence[Value]) -> str:
    """ "eighth note", "3 eighth notes", "quarter note and eighth note and eighth note"."""
    if len(values) > 1 and len({value.name for value in values}) == 1:
        return f"{len(values)} {values[0].names(len(values))}"
    text = values[0].name
    for value in values[1:]:
        text = _("{notes} and {note}").format(notes=text, note=value.name)
    return text


def _with_mark(stroke: str, mark: str) -> str:
    words = {
        "staccato": _("{stroke} with dots"),
        "tenuto": _("{stroke} with lines"),
        "wedge": _("{stroke} with wedges"),
        "accent": _("{stroke} with accents"),
        "lift": _("{stroke} lifted after each note"),
    }
    return words[mark].format(stroke=stroke)


def _joined(strokes: list[_Stroke]) -> list[str]:
    """Equal strokes one after another told once: "4 times, down and up in turn: eighth note"."""
    told = [stroke.told("") for stroke in strokes]
    if len(told) < 3 or len(set(told)) > 1 or any(a.bow == b.bow for a, b in pairwise(strokes)):
        return [stroke.words for stroke in strokes]
    words = _("{n} times, down and up in turn: {stroke}")
    if strokes[0].bow == "up":
        words = _("{n} times, up and down in turn: {stroke}")
    return [words.format(n=len(told), stroke=told[0])]


def exercise_text(exercise: Exercise, octaves: int, bars: int | None = None) -> str:
    """The scale, its bowing, where the bow turns round, and the notes of the bars shown."""
    pattern, line = exercise.pattern, exercise.line
    shown = line.first(bars) if bars else line
    bowing = pattern_text(pattern)
    if pattern.name:
        bowing = f"{pattern.name}, {bowing}"
    what = _("{scale}, {octaves}, bowing: {bowing}.")
    what = what.format(scale=exercise.run.name, octaves=octaves_text(octaves), bowing=bowing)
    extent = _("Notes: {notes}.")
    if bars and bars < len(line.bars):
        extent = ngettext("First {n} bars: {notes}.", "First {n} bars: {notes}.", bars)
    parts = [what, exercise.bow_remark, extent.format(n=bars, notes=notes_text(shown.pitches))]
    return " ".join([*parts, exercise.completion] if exercise.completion and not bars else parts)


def line_text(line: Line, title: str = "") -> str:
    """Bars of an excerpt, note by note with bow marks, slurs and fingers."""
    bars = [
        _("bar {number}: {notes}").format(number=bar.number, notes=_bar_text(line, i))
        if bar.number
        else _bar_text(line, i)
        for i, bar in enumerate(line.bars)
    ]
    metre = f", {line.metre}" if line.metre else ""
    head = f"{title}, " if title else ""
    return f"{head}{line.key.told}{metre}. {'. '.join(bar[:1].upper() + bar[1:] for bar in bars)}."


def _bar_text(line: Line, index: int) -> str:
    text, slurred = "", False
    for note in line.bars[index].notes:
        words = _note_text(note)
        if not text:
            text = words
        elif slurred:
            text = _("{note} slurred to {next}").format(note=text, next=words)
        else:
            text = f"{text}, {words}"
        slurred = note.slur_start
    return text


def _note_text(note: Note) -> str:
    if note.pitch is None:
        return pgettext("a rest in music", "rest")
    text = note.pitch.text(octave=False)
    for pitch in note.chord:
        text = _("{note} with {other}").format(note=text, other=pitch.text(octave=False))
    if note.bow:
        words = _("{note} down-bow") if note.bow == "down" else _("{note} up-bow")
        text = words.format(note=text)
    if note.finger is not None:
        words = _("{note} finger {finger}") if note.finger else _("{note} open")
        text = words.format(note=text, finger=note.finger)
    return text
