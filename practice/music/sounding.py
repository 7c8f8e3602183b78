"""The notes of a line for the ear: when each begins, how long it lasts, how high it sounds.

Equal temperament on the studio's A: f = A * 2 ** ((midi - 69) / 12); A4 = 440 Hz is ISO 16.
"""

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from practice.music.errors import OutOfRange
from practice.music.line import Line, Note
from practice.music.naming import string_name
from practice.music.pitch import LOWEST, Pitch
from studio.language import gettext as _

USUAL_A, LOWEST_A, HIGHEST_A = 440.0, 415.0, 446.0
_GRACE = Fraction(1, 8)  # of a beat, taken from the note it leans on
_SHORT = {"staccato": Fraction(1, 2), "wedge": Fraction(1, 2), "lift": Fraction(2, 3)}


@dataclass(frozen=True, slots=True)
class Tone:
    """`note` is the id in the engraving (n1, n2 …); `start` and `length` in beats; `hz` each
    pitch of a double stop."""

    note: str
    start: Fraction
    length: Fraction
    hz: tuple[float, ...]


def frequency(pitch: Pitch, a: float = USUAL_A) -> float:
    """Hz in equal temperament. Raises OutOfRange for an A that no studio tunes to."""
    if not LOWEST_A <= a <= HIGHEST_A:
        words = _("{a} = {hz} Hz: choose {least} to {most}.")
        limits = {"least": f"{LOWEST_A:g}", "most": f"{HIGHEST_A:g}"}
        raise OutOfRange(words.format(a=string_name("A"), hz=f"{a:g}", **limits))
    return float(a * 2.0 ** ((pitch.midi - 69) / 12))


def parse_a(text: str) -> float:
    """Hz of the A as typed; "" is 440. Raises OutOfRange naming the value."""
    if not text:
        return USUAL_A
    if not re.fullmatch(r"\d{3}(\.\d{1,2})?", text, re.ASCII):
        words = _("{a} = “{text}”: choose {least} to {most} Hz.")
        raise OutOfRange(
            words.format(
                a=string_name("A"), text=text[:12], least=f"{LOWEST_A:g}", most=f"{HIGHEST_A:g}"
            )
        )
    frequency(Pitch("A", 0, 4), float(text))
    return float(text)


def beat_of(line: Line) -> Fraction:
    """Quarter notes in a beat of the line's metre; without a metre every note is a beat."""
    return line.metre.beat if line.metre else Fraction(1)


def tones(line: Line, a: float = USUAL_A) -> tuple[Tone, ...]:
    """Every sounding note in order; tied notes sound once, under the first one's id."""
    found: list[Tone] = []
    beat, time, count = beat_of(line), Fraction(0), 0
    tied, late = False, Fraction(0)
    for note in line.notes:
        length = note.quarters / beat
        if note.pitch is None:
            time, tied = time + length, False
            continue
        count += 1
        if note.grace:
            found.append(_tone(note, count, time + late, _GRACE, a))
            late += _GRACE
            continue
        if tied:
            last = found[-1]
            found[-1] = Tone(last.note, last.start, last.length + length, last.hz)
        else:
            found.append(_tone(note, count, time + late, max(length - late, length / 2), a))
        time, tied, late = time + length, note.tie, Fraction(0)
    return tuple(found)


def _tone(note: Note, count: int, start: Fraction, length: Fraction, a: float) -> Tone:
    pitches = (note.pitch, *note.chord) if note.pitch else ()
    hz = tuple(round(frequency(pitch, a), 4) for pitch in pitches)
    return Tone(f"n{count}", start, length * _SHORT.get(note.articulation, Fraction(1)), hz)


def drone(line: Line, a: float = USUAL_A) -> tuple[float, float]:
    """Hz of the key's tonic from the G string up, and of the fifth above it."""
    octave = 3 if line.key.pitch(3).midi >= LOWEST.midi else 4
    tonic = line.key.pitch(octave)
    return (round(frequency(tonic, a), 4), round(frequency(tonic.up(4, 7), a), 4))


def sounding_json(line: Line, a: float = USUAL_A) -> dict[str, Any]:
    """For the browser: `notes` as [id, start, length, Hz …], `bars` the beat each bar begins on
    (accented by the metronome), `beats` the whole length. Times in beats."""
    beat, time, bars = beat_of(line), Fraction(0), []
    for bar in line.bars:
        bars.append(_short(time))
        time += bar.quarters / beat
    return {
        "a": a,
        "beats": _short(time),
        "bars": bars if line.metre else [0],
        "drone": list(drone(line, a)),
        "notes": [[t.note, _short(t.start), _short(t.length), *t.hz] for t in tones(line, a)],
    }


def _short(beats: Fraction) -> float | int:
    return int(beats) if beats.denominator == 1 else round(float(beats), 4)
