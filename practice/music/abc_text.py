"""A line of music written as ABC 2.1, read back by `read_abc` to the same notes."""

from fractions import Fraction

from practice.music.errors import MusicError
from practice.music.keys import MINOR
from practice.music.line import Bar, Line, Note
from practice.music.mei import tuplets
from practice.music.pitch import Pitch
from studio.language import gettext as _

_UNIT = Fraction(1, 2)  # L:1/8, in quarter notes
_ARTICULATIONS = {
    "staccato": ".",
    "tenuto": "!tenuto!",
    "wedge": "!wedge!",
    "accent": "!accent!",
    "lift": ".",
    "": "",
}
_BOWS = {"up": "u", "down": "v", "": ""}
_SIGNS = {-2: "__", -1: "_", 0: "=", 1: "^", 2: "^^"}


def line_to_abc(line: Line) -> str:
    """Fields K:, M:, L: and one line of bars."""
    mode = "m" if line.key.mode == MINOR else ""
    metre = f"M:{line.metre}\n" if line.metre else ""
    bars = " | ".join(_bar(line, bar) for bar in line.bars)
    return f"{metre}L:1/8\nK:{line.key.tonic}{mode}\n{bars}"


def _bar(line: Line, bar: Bar) -> str:
    kept: dict[str, int] = {}
    return " ".join(_group(line, group, kept) for group in tuplets(bar.notes))


def _group(line: Line, group: list[Note], kept: dict[str, int]) -> str:
    actual, normal = group[0].value.tuplet
    counted = sum(not note.grace for note in group)
    text = f"({actual}:{normal}:{counted}" if actual != normal else ""
    parts, in_grace = [], False
    for note in group:
        word = _note(line, note, kept)
        if note.grace and not in_grace:
            word = "{" + word
        elif in_grace and not note.grace:
            word = "}" + word
        in_grace = note.grace
        parts.append(word)
    return text + " ".join(parts).replace(" }", "}") + ("}" if in_grace else "")


def _note(line: Line, note: Note, kept: dict[str, int]) -> str:
    finger = f"!{note.finger}!" if note.finger is not None else ""
    marks = _ARTICULATIONS[note.articulation] + _BOWS[note.bow] + finger
    pitches = [_pitch(line, pitch, kept) for pitch in (note.pitch, *note.chord) if pitch]
    text = "".join(pitches) if pitches else "z"
    if note.chord:
        text = f"[{text}]"
    length = _length(note)
    slur = "(" if note.slur_start else ""
    close = ")" if note.slur_end else ""
    return f"{slur}{marks}{text}{length}{'-' if note.tie else ''}{close}"


def _length(note: Note) -> str:
    plain = note.value.quarters * Fraction(*note.value.tuplet) / _UNIT
    if plain == 1:
        return ""
    return (
        str(plain.numerator) if plain.denominator == 1 else f"{plain.numerator}/{plain.denominator}"
    )


def _pitch(line: Line, pitch: Pitch, kept: dict[str, int]) -> str:
    """With its sign wherever the signature alone would not say it, so any reader agrees."""
    sign = ""
    if pitch.alter != line.key.written(pitch.step) or pitch.step in kept:
        sign = _SIGNS[pitch.alter]
        kept[pitch.step] = pitch.alter
    if not 2 <= pitch.octave <= 8:
        raise MusicError(_("{note} is not on the violin.").format(note=pitch.text()))
    letter = pitch.step.lower() if pitch.octave >= 5 else pitch.step
    return sign + letter + "'" * (pitch.octave - 5) + "," * (4 - pitch.octave)
