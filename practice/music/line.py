"""One line of music: notes in bars. Exercises and excerpts are both made of this."""

from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Literal

from practice.music.keys import Key
from practice.music.pitch import Pitch
from practice.music.rhythm import Metre, Value

Bow = Literal["", "down", "up"]
ARTICULATIONS = ("", "staccato", "tenuto", "wedge", "accent", "lift")


@dataclass(frozen=True, slots=True)
class Note:
    """A note, or a rest when `pitch` is None.

    `slur_start`/`slur_end` mark the ends of a slur, `tie` joins this note to the next.
    `finger`, `bow` and `string` are what is printed; `chord` holds further notes of a double
    stop; a grace note takes no time.
    """

    value: Value
    pitch: Pitch | None = None
    bow: Bow = ""
    slur_start: bool = False
    slur_end: bool = False
    tie: bool = False
    articulation: str = ""
    finger: int | None = None
    string: str = ""
    chord: tuple[Pitch, ...] = ()
    grace: bool = False

    @property
    def quarters(self) -> Fraction:
        return Fraction(0) if self.grace else self.value.quarters


@dataclass(frozen=True, slots=True)
class Bar:
    """`number` is the printed bar number, "" where none is printed. `key` and `metre` are set
    where they change; `ending` is the number over a first or second ending; `open`: no bar line
    is drawn after it."""

    notes: tuple[Note, ...]
    number: str = ""
    key: Key | None = None
    metre: Metre | None = None
    repeat_start: bool = False
    repeat_end: bool = False
    ending: str = ""
    open: bool = False

    @property
    def quarters(self) -> Fraction:
        return sum((note.quarters for note in self.notes), Fraction(0))


@dataclass(frozen=True, slots=True)
class Line:
    """Bars in a key; `metre` None prints no time signature and no bar rules apply."""

    key: Key
    metre: Metre | None
    bars: tuple[Bar, ...]

    @property
    def notes(self) -> tuple[Note, ...]:
        return tuple(note for bar in self.bars for note in bar.notes)

    @property
    def pitches(self) -> tuple[Pitch, ...]:
        """Pitches of the sounding notes, in order (the written note of a double stop first)."""
        return tuple(note.pitch for note in self.notes if note.pitch)

    @property
    def slurred(self) -> tuple[bool, ...]:
        """For each sounding note, whether it hangs on the slur (or tie) of the one before."""
        found, under = [], False
        for note in self.notes:
            if note.pitch is None:
                continue
            found.append(under)
            under = note.slur_start or (under and not note.slur_end)
        return tuple(found)

    @property
    def signatures(self) -> tuple[tuple[Key, Metre | None], ...]:
        """Key and metre in force in each bar."""
        found, key, metre = [], self.key, self.metre
        for bar in self.bars:
            key, metre = bar.key or key, bar.metre or metre
            found.append((key, metre))
        return tuple(found)

    def first(self, count: int) -> "Line":
        """The first bars; a slur or tie that runs on is cut at the edge."""
        bars = list(self.bars[:count])
        if bars and len(self.bars) > count:
            bars[-1] = replace(bars[-1], notes=_cut(bars[-1].notes))
        return replace(self, bars=tuple(bars))


def _cut(notes: tuple[Note, ...]) -> tuple[Note, ...]:
    notes = (*notes[:-1], replace(notes[-1], tie=False))
    for i in range(len(notes) - 1, -1, -1):
        if notes[i].slur_end:
            return notes
        if notes[i].slur_start:
            end = len(notes) - 1
            if i == end:
                return (*notes[:i], replace(notes[i], slur_start=False))
            return (*notes[:end], replace(notes[end], slur_end=True))
    return notes
