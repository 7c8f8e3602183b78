"""Music in words: the text alternative of every engraving."""

from collections.abc import Sequence

from practice.music.bowings import Pattern
from practice.music.exercise import Exercise
from practice.music.line import Line
from practice.music.pitch import Pitch
from practice.music.scales import Run
from studio.language import gettext as _

_MARKS = {
    "staccato": "with dots",
    "tenuto": "with lines",
    "wedge": "with wedges",
    "accent": "with accents",
    "lift": "lifted after each note",
}


def octaves_text(octaves: int) -> str:
    """ "two octaves"."""
    return {1: _("one octave"), 2: _("two octaves"), 3: _("three octaves")}[octaves]


def notes_text(pitches: Sequence[Pitch]) -> str:
    """ "G A B C D E F sharp G": letters and alterations, no octave numbers."""
    return " ".join(pitch.text(octave=False) for pitch in pitches)


def run_text(run: Run, octaves: int, noun: str = "") -> str:
    """ "G major, two octaves: G A B …"; the way down only where it differs."""
    title = f"{run.name} {noun}".strip()
    text = f"{title}, {octaves_text(octaves)}: {notes_text(run.up)}"
    if run.down != run.up[::-1]:
        text += f"; down: {notes_text(run.down)}"
    return text + "."


def pattern_text(pattern: Pattern) -> str:
    """What one bowing does, stroke by stroke: "quarter note down, two eighth notes in one up"."""
    strokes = []
    sounding = [value for value in pattern.values if not value.rest]
    done = 0
    for count, bow in zip(pattern.slurs, pattern.directions, strict=True):
        values = sounding[done : done + count]
        marks = set(pattern.articulation[done : done + count]) - {""}
        done += count
        names = [value.name for value in values]
        if count == 1:
            words = f"{names[0]} {bow}"
        elif len(set(names)) == 1:
            words = f"{count} {names[0]}s in one {bow}-bow"
        else:
            words = f"{' and '.join(names)} in one {bow}-bow"
        strokes.append(" ".join([words, *(_MARKS[mark] for mark in sorted(marks))]))
    off = "" if pattern.on_string else "Off the string. "
    threes = " in triplets" if any(v.tuplet == (3, 2) for v in pattern.values) else ""
    return f"{off}{'; '.join(_joined(strokes))}{threes}"


def _joined(strokes: list[str]) -> list[str]:
    """Equal strokes one after another told once: "4 times: eighth note …"."""
    if len(strokes) > 2 and len({s.replace(" up", " down") for s in strokes}) == 1:
        return [f"{len(strokes)} times, down and up in turn: {strokes[0].replace(' down', '')}"]
    return strokes


def exercise_text(exercise: Exercise, octaves: int, bars: int | None = None) -> str:
    """The scale, its bowing, where the bow turns round, and the notes of the bars shown."""
    pattern, line = exercise.pattern, exercise.line
    shown = line.first(bars) if bars else line
    name = f"{pattern.name}, " if pattern.name else ""
    what = f"{exercise.run.name}, {octaves_text(octaves)}, bowing: {name}{pattern_text(pattern)}."
    extent = f"First {bars} bars: " if bars and bars < len(line.bars) else "Notes: "
    parts = [what, exercise.bow_remark, f"{extent}{notes_text(shown.pitches)}."]
    return " ".join([*parts, exercise.completion] if exercise.completion and not bars else parts)


def line_text(line: Line, title: str = "") -> str:
    """Bars of an excerpt, note by note with bow marks, slurs and fingers."""
    bars = [
        f"bar {bar.number}: {_bar_text(line, i)}" if bar.number else _bar_text(line, i)
        for i, bar in enumerate(line.bars)
    ]
    metre = f", {line.metre}" if line.metre else ""
    head = f"{title}, " if title else ""
    return f"{head}{line.key.name}{metre}. {'. '.join(bar[:1].upper() + bar[1:] for bar in bars)}."


def _bar_text(line: Line, index: int) -> str:
    words = []
    for note in line.bars[index].notes:
        if note.pitch is None:
            words.append("rest")
            continue
        pitches = (note.pitch, *note.chord)
        text = " with ".join(pitch.text(octave=False) for pitch in pitches)
        if note.bow:
            text += f" {note.bow}-bow"
        if note.finger is not None:
            text += f" finger {note.finger}" if note.finger else " open"
        if note.slur_start:
            text += " slurred to"
        words.append(text)
    return ", ".join(words).replace("slurred to,", "slurred to")
