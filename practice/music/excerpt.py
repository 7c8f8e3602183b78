"""Bars of a piece: stored, transposed, and their bowing borrowed for a scale."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from fractions import Fraction
from typing import Any

from practice.music.abc_bar import read_abc
from practice.music.abc_text import line_to_abc
from practice.music.bowings import MOST_NOTES, Pattern, other_bow
from practice.music.errors import BadRhythm, MusicError, OutOfRange
from practice.music.exercise import FIRST_POSITION_TOP
from practice.music.keys import ALL_KEYS, Key
from practice.music.line import Bar, Bow, Line, Note
from practice.music.pitch import HIGHEST, LOWEST, Pitch
from practice.music.rhythm import Metre, Value, single_value
from studio.language import gettext as _

Excerpt = Line


def excerpt_as_json(excerpt: Line) -> dict[str, Any]:
    """ABC text and the printed bar numbers; read back by `excerpt_from_json`."""
    return {"abc": line_to_abc(excerpt), "bars": [bar.number for bar in excerpt.bars]}


def excerpt_from_json(data: Mapping[str, Any]) -> Line:
    """Raises MusicError where the ABC cannot be read."""
    line = read_abc(str(data.get("abc", "")))
    numbers = [str(number) for number in data.get("bars", [])]
    if len(numbers) != len(line.bars):
        return line
    bars = [replace(bar, number=n) for bar, n in zip(line.bars, numbers, strict=True)]
    return replace(line, bars=tuple(bars))


def borrowed_bowing(excerpt: Line, *, name: str = "") -> Pattern:
    """The values, slurs, bows and marks of the bars as a pattern for any scale.

    Grace notes are left out, tied notes count once, a slur cut by the edge of the excerpt runs
    to the edge. Raises BadRhythm where nothing sounds or too much does.
    """
    notes = _merged(excerpt.notes)
    sounding = [note for note in notes if note.pitch]
    if not sounding:
        raise BadRhythm(_("These bars hold no notes, so there is no bowing to borrow."))
    if len(sounding) > MOST_NOTES:
        words = _(
            "These bars hold {n} notes. Choose fewer bars: a bowing has at most {most} notes."
        )
        raise BadRhythm(words.format(n=len(sounding), most=MOST_NOTES))
    slurs = _strokes(notes)
    start, same_bow = _bows(sounding, slurs)
    length = sum((note.quarters for note in notes), Fraction(0))
    return Pattern(
        tuple(note.value for note in notes),
        slurs,
        tuple(note.articulation for note in sounding),
        _metre(excerpt.metre, length),
        start=start,
        same_bow=same_bow,
        called=name,
    )


def _merged(notes: Iterable[Note]) -> list[Note]:
    """Timed notes; a tied pair becomes one value, or a slur where no one value is that long."""
    found: list[Note] = []
    for note in notes:
        if note.grace:
            continue
        last = found[-1] if found else None
        if last and last.tie and last.pitch and note.pitch:
            value = _together(last.value, note.value)
            if value:
                ends = note.slur_end or (last.slur_end and not note.slur_start)
                starts = last.slur_start or note.slur_start
                found[-1] = replace(
                    last, value=value, tie=note.tie, slur_end=ends, slur_start=starts
                )
                continue
            if not last.slur_start and not _inside(found):
                found[-1] = replace(last, slur_start=True)
                note = replace(note, slur_end=not note.slur_start, slur_start=False)
        found.append(note)
    return found


def _together(one: Value, other: Value) -> Value | None:
    if one.tuplet != other.tuplet:
        return None
    plain = (one.quarters + other.quarters) * Fraction(*one.tuplet)
    return single_value(plain, one.tuplet)


def _inside(notes: list[Note]) -> bool:
    """Whether the last note stands under an open slur."""
    for note in reversed(notes):
        if note.slur_start:
            return True
        if note.slur_end:
            return False
    return False


def _strokes(notes: list[Note]) -> tuple[int, ...]:
    """Sounding notes per bow stroke; a rest always ends a stroke."""
    first_end = next((i for i, n in enumerate(notes) if n.slur_end), None)
    first_start = next((i for i, n in enumerate(notes) if n.slur_start), None)
    under = first_end is not None and (first_start is None or first_end < first_start)
    counts: list[int] = []
    joined = False
    for note in notes:
        if note.pitch is None:
            joined = False
            continue
        if joined:
            counts[-1] += 1
        else:
            counts.append(1)
        under = (under or note.slur_start) and not (note.slur_end and not note.slur_start)
        joined = under
    return tuple(counts)


def _bows(sounding: list[Note], slurs: tuple[int, ...]) -> tuple[Bow, tuple[int, ...]]:
    """The first bow and the strokes marked to go on in the direction before them."""
    marks: list[Bow] = []
    at = 0
    for count in slurs:
        marks.append(sounding[at].bow)
        at += count
    first = next((i for i, mark in enumerate(marks) if mark), None)
    start: Bow = "down"
    if first is not None:
        start = marks[first] if first % 2 == 0 else other_bow(marks[first])
    same, bow = [], start
    for stroke, mark in enumerate(marks):
        if stroke:
            expected = other_bow(bow)
            if mark and mark != expected:
                same.append(stroke)
            bow = mark or expected
    return start, tuple(same)


def _metre(metre: Metre | None, length: Fraction) -> Metre:
    """The piece's metre where the pattern fills whole bars, otherwise one as long as it."""
    if metre and length % metre.bar == 0:
        return metre
    unit = max(4, (length / 4).denominator)
    count = length * unit / 4
    if count.denominator != 1 or count > 24 or unit > 16:
        raise BadRhythm(_("These bars do not fill whole beats. Choose whole bars."))
    return Metre(int(count), unit)


def transposed(excerpt: Line, key: Key) -> Line:
    """The excerpt in another key of the same mode, in the octave nearest to where it stood.

    Fingers and string names are dropped, since they change. Raises MusicError for another mode,
    OutOfRange where it would leave the violin.
    """
    if key.mode != excerpt.key.mode:
        words = _("{key} cannot be moved to {other}: keep the mode.")
        raise MusicError(words.format(key=excerpt.key.told, other=key.told))
    steps = key.pitch(4).diatonic - excerpt.key.pitch(4).diatonic
    semitones = key.pitch(4).midi - excerpt.key.pitch(4).midi
    for octave in sorted((-1, 0, 1), key=lambda o: abs(semitones + 12 * o)):
        moved = (steps + 7 * octave, semitones + 12 * octave)
        if all(_on_violin(p.up(*moved)) for n in excerpt.notes for p in _pitches(n)):
            return replace(excerpt, key=key, bars=tuple(_moved(excerpt, moved)))
    words = _("In {key} these bars leave the violin's range.")
    raise OutOfRange(words.format(key=key.told))


def simpler_keys(excerpt: Line, limit: int = 3) -> tuple[Key, ...]:
    """Keys of the same mode with fewer signs into which the excerpt can be moved, simplest first;
    those that keep it in first position before others. Common practice, no source."""
    found = []
    for key in ALL_KEYS:
        if key.mode != excerpt.key.mode or abs(key.signature) >= abs(excerpt.key.signature):
            continue
        try:
            moved = transposed(excerpt, key)
        except MusicError:  # out of reach, or a note would need three sharps
            continue
        high = max(moved.pitches, default=LOWEST).midi > FIRST_POSITION_TOP.midi
        found.append((high, abs(key.signature), -key.signature, key))
    return tuple(key for *_, key in sorted(found, key=lambda each: each[:3])[:limit])


def _moved(excerpt: Line, by: tuple[int, int]) -> Iterable[Bar]:
    for bar in excerpt.bars:
        notes = [
            replace(
                note,
                pitch=note.pitch.up(*by) if note.pitch else None,
                chord=tuple(p.up(*by) for p in note.chord),
                finger=None,
                string="",
            )
            for note in bar.notes
        ]
        yield replace(bar, notes=tuple(notes))


def _pitches(note: Note) -> tuple[Pitch, ...]:
    return (note.pitch, *note.chord) if note.pitch else ()


def _on_violin(pitch: Pitch) -> bool:
    return LOWEST.midi <= pitch.midi <= HIGHEST.midi
