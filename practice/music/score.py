"""A piece as read from a file: one violin line in bars as printed, and excerpts of it."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from practice.music.errors import MusicError, OutOfRange
from practice.music.line import Bar, Line, Note
from practice.music.naming import string_name
from practice.music.pitch import HIGHEST, LOWEST, Pitch
from studio.language import gettext as _

MOST_BARS = 1500
MOST_IN_BAR = 400  # notes: engraving a bar takes time by the square of them


@dataclass(frozen=True, slots=True)
class Score:
    """`remarks` are sentences on what was left out; `part` is the name of the part read,
    `passed_slurs` counts slurs that lie over shorter ones and so are no bows."""

    title: str
    composer: str
    part: str
    line: Line
    remarks: tuple[str, ...] = ()
    passed_slurs: int = 0

    @property
    def bars(self) -> tuple[Bar, ...]:
        return self.line.bars


@dataclass(frozen=True, slots=True)
class Counts:
    """What a score holds; graces and rests are not among the notes, a tie counts once."""

    notes: int
    graces: int
    rests: int
    slurs: int
    ties: int
    bars: int
    lowest: Pitch
    highest: Pitch


def counts(score: Score) -> Counts:
    """Counts for checking a reading against another program."""
    notes = score.line.notes
    pitches = [p for note in notes if note.pitch for p in (note.pitch, *note.chord)]
    return Counts(
        notes=sum(note.pitch is not None and not note.grace for note in notes),
        graces=sum(note.grace for note in notes),
        rests=sum(note.pitch is None for note in notes),
        slurs=sum(note.slur_start for note in notes) + score.passed_slurs,
        ties=sum(note.tie for note in notes),
        bars=len(score.bars),
        lowest=min(pitches),
        highest=max(pitches),
    )


def checked(score: Score) -> Score:
    """The score, if a violin can play it. Raises MusicError naming the bar that it cannot."""
    if not score.line.pitches:
        raise MusicError(_("This file holds no notes."))
    if len(score.bars) > MOST_BARS:
        words = _("This piece has {n} bars; up to {most} are read.")
        raise MusicError(words.format(n=len(score.bars), most=MOST_BARS))
    for index, bar in enumerate(score.bars):
        if len(bar.notes) > MOST_IN_BAR:
            name = label(score, index)
            words = _("{bar} has {n} notes; up to {most} in a bar are read.")
            said = words.format(bar=name[:1].upper() + name[1:], n=len(bar.notes), most=MOST_IN_BAR)
            raise MusicError(said)
        for note in bar.notes:
            for pitch in (note.pitch, *note.chord) if note.pitch else ():
                if not LOWEST.midi <= pitch.midi <= HIGHEST.midi:
                    raise OutOfRange(_not_on_violin(label(score, index), pitch))
    return score


def _not_on_violin(bar: str, pitch: Pitch) -> str:
    words = _("This is no violin part: {bar} has {note}, above the fingerboard.")
    if pitch.midi < LOWEST.midi:
        words = _("This is no violin part: {bar} has {note}, below the open {string} string.")
    return words.format(bar=bar, note=pitch.text(), string=string_name("G"))


def printed_number(text: str) -> str:
    """A bar's number as files hold it; "0" and "X1" are what programs write where none is."""
    text = text.strip()
    return "" if text == "0" or text.startswith("X") else text


def numbered(line: Line) -> Line:
    """Bars numbered as printed music is: a pickup has no number, and the two halves of a bar cut
    by a repeat count once, the second half without a number."""
    bars: list[Bar] = []
    count, short_before = 0, Fraction(0)
    for bar, signature in zip(line.bars, line.signatures, strict=True):
        metre = signature[1]
        whole = metre.bar if metre else bar.quarters
        completes = bool(bars) and short_before > 0 and short_before + bar.quarters <= whole
        pickup = not bars and bar.quarters < whole
        if pickup or completes:
            bars.append(replace(bar, number=""))
            short_before = Fraction(0)
        else:
            count += 1
            bars.append(replace(bar, number=str(count)))
            short_before = bar.quarters if bar.quarters < whole else Fraction(0)
    return replace(line, bars=tuple(bars))


def label(score: Score, index: int) -> str:
    """ "bar 12", "the pickup", "the pickup to bar 9"."""
    number = score.bars[index].number
    if number:
        return _("bar {number}").format(number=number)
    if index == 0:
        return _("the pickup")
    following = next((bar.number for bar in score.bars[index:] if bar.number), "")
    words = _("the pickup to bar {number}") if following else _("the last, unnumbered bar")
    return words.format(number=following)


def index_of(score: Score, number: str) -> int:
    """Where a printed bar number stands. Raises OutOfRange naming the number."""
    for index, bar in enumerate(score.bars):
        if bar.number == number.strip():
            return index
    numbers = [bar.number for bar in score.bars if bar.number]
    if not numbers:
        raise OutOfRange(_("The bars of this piece carry no numbers."))
    words = _("There is no bar {number}. This piece has bars {first} to {last}.")
    asked = number.strip() or "“”"
    raise OutOfRange(words.format(number=asked, first=numbers[0], last=numbers[-1]))


def excerpt(score: Score, first: str, last: str = "") -> Line:
    """Bars by their printed numbers, both ends included. Raises MusicError."""
    begin = index_of(score, first)
    end = index_of(score, last) if last else begin
    if end < begin:
        words = _("Bar {last} comes before bar {first}.")
        raise MusicError(words.format(last=last, first=first))
    return excerpt_at(score, range(begin, end + 1))


def excerpt_at(score: Score, indexes: Sequence[int]) -> Line:
    """Neighbouring bars by their place from 0, with the key and metre in force there.

    Repeat signs and endings are dropped; a slur that comes in from before is opened at the edge,
    one that goes on is closed there. Raises MusicError where the metre changes inside.
    """
    wanted = sorted(set(indexes))
    if not wanted or wanted[0] < 0 or wanted[-1] >= len(score.bars):
        raise OutOfRange(_("Choose bars of this piece."))
    if wanted != list(range(wanted[0], wanted[-1] + 1)):
        raise MusicError(_("Choose bars that stand next to one another."))
    signatures = score.line.signatures
    key, metre = signatures[wanted[0]]
    for index in wanted:
        if signatures[index][1] != metre:
            words = _("The metre changes at {bar}. Choose bars in one metre.")
            raise MusicError(words.format(bar=label(score, index)))
    bars = [
        replace(
            score.bars[index],
            key=None,
            metre=None,
            repeat_start=False,
            repeat_end=False,
            ending="",
        )
        for index in wanted
    ]
    before = [note for bar in score.bars[: wanted[0]] for note in bar.notes]
    return _trimmed(Line(key, metre, tuple(bars)), under=_under_slur(before))


def _under_slur(notes: Sequence[Note]) -> bool:
    """Whether a slur is open after these notes."""
    last = next((n for n in reversed(notes) if n.slur_start or n.slur_end), None)
    return last is not None and last.slur_start


def _trimmed(line: Line, *, under: bool) -> Line:
    """Slurs and ties made whole at both edges; `under`: a slur comes in from before."""
    notes = [list(bar.notes) for bar in line.bars]
    flat = [(i, j) for i, bar in enumerate(notes) for j, note in enumerate(bar) if note.pitch]
    if under and flat:
        under = _open_at_edge(notes, flat)
    for i, j in flat:
        note = notes[i][j]
        under = note.slur_start or (under and not note.slur_end)
    if under and flat:
        _close_at_edge(notes, flat)
    if flat:
        i, j = flat[-1]
        notes[i][j] = replace(notes[i][j], tie=False)
    bars = [replace(bar, notes=tuple(n)) for bar, n in zip(line.bars, notes, strict=True)]
    return replace(line, bars=tuple(bars))


def _open_at_edge(notes: list[list[Note]], flat: list[tuple[int, int]]) -> bool:
    """Whether a slur is open now; one that would end on the first note is dropped."""
    i, j = flat[0]
    note = notes[i][j]
    ends = note.slur_end
    notes[i][j] = replace(note, slur_end=False, slur_start=note.slur_start or not ends)
    return not ends


def _close_at_edge(notes: list[list[Note]], flat: list[tuple[int, int]]) -> None:
    i, j = flat[-1]
    note = notes[i][j]
    if note.slur_start:
        notes[i][j] = replace(note, slur_start=False)
    else:
        notes[i][j] = replace(note, slur_end=True)
