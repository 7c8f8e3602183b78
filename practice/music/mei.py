"""A line of music as MEI (the Music Encoding Initiative's XML, version 5).

Every note carries `accid.ges`: without it the sounding pitch ignores the key signature. Ids are
n1, n2 … in playing order, so the same music always gives the same text.
"""

from collections.abc import Iterable, Sequence
from fractions import Fraction
from html import escape

from practice.music.beams import beamed
from practice.music.keys import Key
from practice.music.line import Bar, Line, Note
from practice.music.pitch import Pitch
from practice.music.rhythm import Metre

_HEAD = (
    '<?xml version="1.0" encoding="UTF-8"?>'
    '<mei xmlns="http://www.music-encoding.org/ns/mei" meiversion="5.0"><meiHead><fileDesc>'
    "<titleStmt><title/></titleStmt><pubStmt/></fileDesc></meiHead><music><body><mdiv><score>"
)
_TAIL = "</section></score></mdiv></body></music></mei>"
_WRITTEN = {-2: "ff", -1: "f", 0: "n", 1: "s", 2: "x"}
_SOUNDING = {-2: "ff", -1: "f", 0: "n", 1: "s", 2: "ss"}
_ARTIC = {
    "staccato": "stacc",
    "tenuto": "ten",
    "wedge": "stacciss",
    "accent": "acc",
    "lift": "stacc",
}
_BOW = {"down": "dnbow", "up": "upbow"}


def line_to_mei(
    line: Line,
    *,
    stems: bool = True,
    fingers: bool = True,
    strings: bool = False,
    numbers: bool = False,
    end: str = "end",
) -> str:
    """The line as one MEI document.

    `stems` False prints heads only; `fingers` and `strings` print what the notes carry, `numbers`
    the bar numbers. `end` is the last bar line: "end", "dbl" or "single".
    """
    writer = _Writer(line.key, stems=stems, fingers=fingers, strings=strings)
    bars = "".join(
        _changes(bar, number) + writer.measure(bar, number, metre, _right(line, number, end))
        for number, (bar, (_, metre)) in enumerate(
            zip(line.bars, line.signatures, strict=True), start=1
        )
    )
    return (
        f'{_HEAD}<scoreDef mnum.visible="{str(numbers).lower()}"><staffGrp><staffDef n="1" '
        f'lines="5" clef.shape="G" clef.line="2"{_key(line.key)}{_metre(line.metre)}/></staffGrp>'
        f"</scoreDef><section>{bars}{_TAIL}"
    )


def _key(key: Key | None) -> str:
    if key is None:
        return ""
    count = key.signature
    return f' keysig="{abs(count)}{"s" if count > 0 else "f"}"' if count else ' keysig="0"'


def _metre(metre: Metre | None) -> str:
    return f' meter.count="{metre.count}" meter.unit="{metre.unit}"' if metre else ""


def _changes(bar: Bar, number: int) -> str:
    if number == 1 or not (bar.key or bar.metre):
        return ""
    return f"<scoreDef{_key(bar.key)}{_metre(bar.metre)}/>"


def _right(line: Line, number: int, end: str) -> str:
    if line.bars[number - 1].repeat_end:
        return "rptend"
    if line.bars[number - 1].open:
        return "invis"
    return end if number == len(line.bars) else "single"


class _Writer:
    """Keeps what runs over bar lines: the note count, open slurs and ties."""

    def __init__(self, key: Key, *, stems: bool, fingers: bool, strings: bool) -> None:
        self.key = key
        self.stems, self.fingers, self.strings = stems, fingers, strings
        self.count = 0
        self.slur = ""
        self.tied = ""  # id of a note tied to the next
        self.kept: dict[tuple[str, int], int] = {}  # alterations in force in this bar

    def measure(self, bar: Bar, number: int, metre: Metre | None, right: str) -> str:
        self.kept, self.key = {}, bar.key or self.key
        self.marks: list[str] = []
        groups = beamed(bar.notes, metre) if self.stems else [[n] for n in bar.notes]
        layer = "".join(self._group(group) for group in groups)
        printed = f' n="{escape(bar.number)}"' if bar.number else ""
        left = ' left="rptstart"' if bar.repeat_start else ""
        measure = (
            f'<measure xml:id="m{number}"{printed}{left} right="{right}">'
            f'<staff n="1"><layer n="1">{layer}</layer></staff>{"".join(self.marks)}</measure>'
        )
        return f'<ending n="{escape(bar.ending)}">{measure}</ending>' if bar.ending else measure

    def _group(self, group: Sequence[Note]) -> str:
        """Notes under one beam, with tuplets inside it; a single note stands alone."""
        parts = "".join(self._tuplet(part) for part in tuplets(group))
        timed = [note for note in group if not note.grace]
        short = all(note.pitch and note.value.base >= 8 for note in timed)
        return f"<beam>{parts}</beam>" if short and len(timed) > 1 else parts

    def _tuplet(self, notes: Sequence[Note]) -> str:
        body = "".join(self._note(note) for note in notes)
        actual, normal = notes[0].value.tuplet
        if actual == normal:
            return body
        # Below, so that the number of a triplet is never taken for a finger.
        shown = f'num="{actual}" numbase="{normal}" num.place="below" bracket.visible="false"'
        return f"<tuplet {shown}>{body}</tuplet>"

    def _note(self, note: Note) -> str:
        value = note.value
        dots = f' dots="{value.dots}"' if value.dots else ""
        if note.pitch is None:
            return f'<rest dur="{value.base}"{dots}/>'
        self.count += 1
        name = f"n{self.count}"
        self._spans(note, name)
        grace = ' grace="unacc"' if note.grace else ""
        stem = "" if self.stems else ' stem.visible="false"'
        timed = f'dur="{value.base}"{dots}{grace}{stem}'
        artic = "".join(self._artics(note))
        if not note.chord:
            return f'<note xml:id="{name}" {self._pitch(note.pitch)} {timed}>{artic}</note>'
        heads = f'<note xml:id="{name}" {self._pitch(note.pitch)}/>' + "".join(
            f'<note xml:id="{name}x{i}" {self._pitch(pitch)}/>'
            for i, pitch in enumerate(note.chord)
        )
        return f'<chord xml:id="{name}c" {timed}>{heads}{artic}</chord>'

    def _pitch(self, pitch: Pitch) -> str:
        place = (pitch.step, pitch.octave)
        in_force = self.kept.get(place, self.key.written(pitch.step))
        written = ""
        if pitch.alter != in_force:
            written = f' accid="{_WRITTEN[pitch.alter]}"'
            self.kept[place] = pitch.alter
        return (
            f'pname="{pitch.step.lower()}" oct="{pitch.octave}"{written} '
            f'accid.ges="{_SOUNDING[pitch.alter]}"'
        )

    def _artics(self, note: Note) -> Iterable[str]:
        if note.articulation:
            yield f'<artic artic="{_ARTIC[note.articulation]}" place="below"/>'
        if note.bow:
            yield f'<artic artic="{_BOW[note.bow]}" place="above"/>'

    def _spans(self, note: Note, name: str) -> None:
        """Marks that hang on the note: finger, string, slur, tie."""
        if self.fingers and note.finger is not None and not self.tied:
            self.marks.append(f'<fing startid="#{name}" place="above">{note.finger}</fing>')
        if self.strings and note.string:
            self.marks.append(
                f'<dir startid="#{name}" place="below" vgrp="1">{escape(note.string)}</dir>'
            )
        if note.slur_end and self.slur:
            self.marks.append(f'<slur startid="#{self.slur}" endid="#{name}" curvedir="below"/>')
            self.slur = ""
        if note.slur_start:
            self.slur = name
        if self.tied:
            self.marks.append(f'<tie startid="#{self.tied}" endid="#{name}"/>')
        self.tied = name if note.tie else ""


def tuplets(notes: Sequence[Note]) -> list[list[Note]]:
    """Notes cut where a tuplet begins or is full; plain notes stay together."""
    parts: list[list[Note]] = []
    filled = Fraction(0)
    for note in notes:
        ratio = note.value.tuplet
        same = bool(parts) and parts[-1][0].value.tuplet == ratio
        if not same or (ratio[0] != ratio[1] and filled == 0):
            parts.append([])
            filled = Fraction(0)
        parts[-1].append(note)
        if ratio[0] != ratio[1]:
            filled += note.quarters
            if _full(filled, parts[-1]):
                filled = Fraction(0)
    return parts


def _full(filled: Fraction, notes: Sequence[Note]) -> bool:
    actual, normal = notes[0].value.tuplet
    unit = Fraction(4, max(note.value.base for note in notes))
    return filled % (unit * normal) == 0 or len(notes) > 4 * actual
