"""Bars likely to be hard, each with its reasons. A suggestion: the teacher decides.

Every reason has a weight; a bar's hardness is their sum. The weights are ours (no source): a
shift or a new rhythm weighs most, an accidental least.
"""

from collections.abc import Collection
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby, pairwise

from practice.music.bowings import Pattern
from practice.music.errors import NoFingering
from practice.music.fingering import USUAL, Fingering, Rules, fingering
from practice.music.line import Bar, Line, Note
from practice.music.naming import natural
from practice.music.rhythm import Metre, parse_value
from practice.music.score import Score, label
from practice.music.violin import STRINGS, position_name
from studio.language import gettext as _
from studio.language import gettext_noop, ngettext
from studio.language.lists import listed
from studio.language.numbers import number

LEAST = 1.0  # a bar below this is not worth naming
_SHIFT, _IN_SLUR, _CROSSING, _SLURS = 2.0, 1.0, 0.8, 1.0
_ACCIDENTAL, _RHYTHM, _DOUBLE_STOP, _STRETCH = 0.7, 1.5, 1.5, 0.8
_EASY_CROSSINGS = 1.5  # a second
# What each kind of reason is trained by, as the catalogue stores it; "rhythm" alone has no etude
# of its own.
TECHNIQUES = {
    "shift": gettext_noop("shifting"),
    "crossing": gettext_noop("string crossing"),
    "slurs": gettext_noop("mixed bowing"),
    "accidental": gettext_noop("chromatic fingering"),
    "triplet": gettext_noop("triplets"),
    "dotted": gettext_noop("dotted rhythm"),
    "rhythm": gettext_noop("rhythm"),
    "double stop": gettext_noop("double stops"),  # no words: a key
    "stretch": gettext_noop("extensions"),
}


@dataclass(frozen=True, slots=True)
class Reason:
    """`technique` is one of TECHNIQUES: the word by which etudes in the catalogue are found."""

    words: str
    weight: float
    technique: str


@dataclass(frozen=True, slots=True)
class HardBar:
    """`index` counts bars from 0, `name` is "bar 12" as printed."""

    index: int
    name: str
    hardness: float
    reasons: tuple[Reason, ...]

    @property
    def words(self) -> str:
        """ "2 shifts, the first to third position on A 5; C sharp, outside G major"."""
        return "; ".join(reason.words for reason in self.reasons)


def hard_bars(
    score: Score,
    bpm: int,
    *,
    known_rhythms: Collection[str] | None = None,
    rules: Rules = USUAL,
    limit: int = 5,
) -> tuple[HardBar, ...]:
    """The hardest bars at the tempo wanted, hardest first, at most `limit`.

    `known_rhythms` are the cells of pieces the student has played (`rhythms_of`); None leaves
    rhythm out. Fingers written in the score are kept where they can be played.
    """
    line = score.line
    found = _fingers(line, rules)
    bars = []
    place = 0
    before: Bar | None = None
    for index, bar in enumerate(line.bars):
        metre = line.signatures[index][1]
        count = sum(note.pitch is not None for note in bar.notes)
        reasons = [
            *_shift_reason(bar, found, place, count),
            *_crossing_reason(bar, metre, found, place, count, bpm),
            *_slur_reason(bar, before),
            *_accidental_reason(line, index),
            *_rhythm_reason(bar, metre, known_rhythms),
            *_double_stop_reason(bar),
            *_stretch_reason(bar, found, place, count),
        ]
        place += count
        before = bar if count else before
        reasons.sort(key=lambda reason: -reason.weight)
        hardness = round(sum(reason.weight for reason in reasons), 2)
        if hardness >= LEAST:
            bars.append(HardBar(index, label(score, index), hardness, tuple(reasons)))
    bars.sort(key=lambda bar: (-bar.hardness, bar.index))
    return tuple(bars[:limit])


def _fingers(line: Line, rules: Rules) -> Fingering:
    """The line's fingering; written fingers and the student's positions give way if they must."""
    sounding = [note for note in line.notes if note.pitch]
    pitches = [note.pitch for note in sounding if note.pitch]
    written = {i: note.finger for i, note in enumerate(sounding) if note.finger is not None}
    for fixed, tried in ((written, rules), ({}, rules), (written, USUAL)):
        try:
            return fingering(pitches, tried, slurred=line.slurred, fixed=fixed)
        except NoFingering:
            continue
    return fingering(pitches, USUAL, slurred=line.slurred)


def _under(notes: list[Note]) -> list[tuple[Note, bool]]:
    """Each note with whether a slur was open before it."""
    found, under = [], False
    for note in notes:
        found.append((note, under))
        under = note.slur_start or (under and not note.slur_end)
    return found


def _shift_reason(bar: Bar, found: Fingering, place: int, count: int) -> list[Reason]:
    shifts = [i for i in found.shifts if place <= i < place + count]
    if not shifts:
        return []
    sounding = [note for note in bar.notes if note.pitch]
    under = _under(sounding)
    in_slur = sum(under[i - place][1] for i in shifts)
    note = sounding[shifts[0] - place]
    words = ngettext(
        "a shift to {position} on {note}",
        "{n} shifts, the first to {position} on {note}",
        len(shifts),
    )
    words = words.format(
        n=len(shifts),
        position=position_name(found.places[shifts[0]].position),
        note=note.pitch.text() if note.pitch else "",
    )
    if in_slur:
        words = _("{shift}, under a slur").format(shift=words)
    return [Reason(words, _SHIFT * len(shifts) + _IN_SLUR * in_slur, TECHNIQUES["shift"])]


def _crossing_reason(
    bar: Bar, metre: Metre | None, found: Fingering, place: int, count: int, bpm: int
) -> list[Reason]:
    places = found.places[place : place + count]
    crossings = sum(
        abs(STRINGS.index(a.string) - STRINGS.index(b.string)) for a, b in pairwise(places)
    )
    beat = metre.beat if metre else Fraction(1)
    seconds = float(bar.quarters / beat) * 60 / bpm
    rate = crossings / seconds if seconds else 0.0
    if crossings < 2 or rate <= _EASY_CROSSINGS:
        return []
    words = _("{rate} string crossings a second at {bpm}")
    words = words.format(rate=number(rate, ".1f"), bpm=bpm)
    return [Reason(words, round(_CROSSING * (rate - _EASY_CROSSINGS), 2), TECHNIQUES["crossing"])]


def strokes_of(bar: Bar) -> tuple[int, ...]:
    """How many notes each bow of a bar takes."""
    counts: list[int] = []
    for note, under in _under([n for n in bar.notes if n.pitch and not n.grace]):
        if (under and counts) or note.slur_end:
            counts[-1:] = [counts[-1] + 1 if counts else 1]
        else:
            counts.append(1)
    return tuple(counts)


def _slur_reason(bar: Bar, before: Bar | None) -> list[Reason]:
    if before is None:
        return []
    now, earlier = strokes_of(bar), strokes_of(before)
    if len(set(now)) < 2 or now == earlier:
        return []
    words = _("the bowing changes: {counts} notes in a bow")
    words = words.format(counts=", ".join(map(str, now)))
    return [Reason(words, _SLURS, TECHNIQUES["slurs"])]


def _accidental_reason(line: Line, index: int) -> list[Reason]:
    key = line.signatures[index][0]
    names: dict[str, int] = {}
    for note in line.bars[index].notes:
        for pitch in (note.pitch, *note.chord) if note.pitch else ():
            if pitch.alter != key.written(pitch.step):
                name = pitch.text(octave=False) if pitch.alter else natural(pitch.step)
                names[name] = names.get(name, 0) + 1
    if not names:
        return []
    words = _("{notes}, outside {key}")
    words = words.format(notes=listed(list(names)[:3]), key=key.told)
    return [
        Reason(words, round(_ACCIDENTAL * min(3, sum(names.values())), 2), TECHNIQUES["accidental"])
    ]


def cells(bar: Bar, metre: Metre | None) -> tuple[str, ...]:
    """The rhythm of a bar beat by beat: ("8. 16", "4"). A note over several beats joins them."""
    beat = metre.beat if metre else Fraction(1)
    found: list[list[str]] = []
    time, edge = Fraction(0), Fraction(0)
    for note in bar.notes:
        if note.grace:
            continue
        if time >= edge:
            found.append([])
            edge = (time // beat + 1) * beat
        found[-1].append(note.value.code)
        time += note.quarters
        while time > edge:
            edge += beat
    return tuple(" ".join(cell) for cell in found)


def rhythms_of(line: Line) -> frozenset[str]:
    """Every rhythm cell of a piece, to be remembered for a student."""
    return frozenset(
        cell
        for bar, (_, metre) in zip(line.bars, line.signatures, strict=True)
        for cell in cells(bar, metre)
    )


def rhythms_of_bowing(pattern: Pattern) -> frozenset[str]:
    """The rhythm cells a scale in that bowing is played in."""
    return frozenset(cells(Bar(tuple(Note(value) for value in pattern.values)), pattern.metre))


def cell_words(cell: str) -> str:
    """ "dotted eighth note and sixteenth note", "3 sixteenth notes (triplet)"."""
    words = []
    for value, group in groupby(parse_value(code) for code in cell.split()):
        count = len(list(group))
        text = f"{count} {value.names(count)}" if count > 1 else value.name
        actual, normal = value.tuplet
        if (actual, normal) == (3, 2):
            text = _("{notes} (triplet)").format(notes=text)
        elif actual != normal:
            tuplet = _("{notes} ({actual} in {normal})")
            text = tuplet.format(notes=text, actual=actual, normal=normal)
        words.append(text)
    return listed(words)


def _rhythm_reason(bar: Bar, metre: Metre | None, known: Collection[str] | None) -> list[Reason]:
    if known is None:
        return []
    found = dict.fromkeys(cells(bar, metre))
    new = [cell for cell in found if cell not in known and set(cell) & set(" .t")]
    if not new:
        return []
    words = _("a rhythm new to this student: {rhythm}").format(rhythm=cell_words(new[0]))
    kind = "triplet" if "t" in new[0] else "dotted" if "." in new[0] else "rhythm"
    return [Reason(words, _RHYTHM, TECHNIQUES[kind])]


def _double_stop_reason(bar: Bar) -> list[Reason]:
    stops = sum(bool(note.chord) for note in bar.notes)
    if not stops:
        return []
    words = ngettext("a double stop", "{n} double stops", stops).format(n=stops)
    return [Reason(words, round(_DOUBLE_STOP + 0.3 * (stops - 1), 2), TECHNIQUES["double stop"])]


def _stretch_reason(bar: Bar, found: Fingering, place: int, count: int) -> list[Reason]:
    sounding = [note.pitch for note in bar.notes if note.pitch]
    for pitch, where in zip(sounding, found.places[place : place + count], strict=True):
        if where.finger == 4 and where.reach:
            words = _("4th finger stretched on {note}").format(note=pitch.text())
            return [Reason(words, _STRETCH, TECHNIQUES["stretch"])]
    return []
