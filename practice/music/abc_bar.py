"""A few bars typed by the teacher, read from a subset of the ABC music standard 2.1.

Read: notes with lengths and accidentals, rests, broken rhythm, tuplets, slurs, ties, double
stops, grace notes, bar lines, `.` staccato, `u` up-bow, `v` down-bow, the decorations in
`_DECORATIONS` and fingers `!0!` to `!4!`, and the fields K:, M:, L: on a line of their own or in
brackets. As in the standard, an accidental holds for its letter in every octave until the bar
line, and the note length defaults to 1/16 in metres below 3/4, otherwise to 1/8. Everything
else is refused with its place, so that nothing typed is lost silently.
"""

import re
from dataclasses import replace
from fractions import Fraction
from typing import Any

from practice.music.abc_fields import read_field, usual_length
from practice.music.errors import MusicError
from practice.music.keys import Key
from practice.music.line import Bar, Line, Note
from practice.music.pitch import HIGHEST, LOWEST, Pitch
from practice.music.rhythm import Metre, single_value
from studio.language import gettext as _

MOST_CHARACTERS = 4000
_FIELD = re.compile(r"\[([A-Za-z]:[^\]]*)\]")
_LINE_FIELD = re.compile(r"([A-Zmrsw]:(?!\|)[^\n]*)")
_PITCH = re.compile(r"(\^\^|\^|__|_|=)?([A-Ga-g])([,']*)")
_LENGTH = re.compile(r"(\d{0,3})(/{0,5})(\d{0,3})", re.ASCII)
_BAR = re.compile(r"(?:\[\||:*\|+[\]:]*|::)(?:\[?[1-9])?|\[[1-9]")
_TUPLET = re.compile(r"\(([2-9])(?::(\d?))?(?::(\d?))?", re.ASCII)
_BROKEN = re.compile(r">{1,3}|<{1,3}")
_ACCIDENTALS = {"^": 1, "^^": 2, "_": -1, "__": -2, "=": 0}
_DECORATIONS: dict[str, dict[str, Any]] = {
    ".": {"articulation": "staccato"},
    "u": {"bow": "up"},
    "v": {"bow": "down"},
    "!upbow!": {"bow": "up"},
    "!downbow!": {"bow": "down"},
    "!tenuto!": {"articulation": "tenuto"},
    "!wedge!": {"articulation": "wedge"},
    "!accent!": {"articulation": "accent"},
    "!>!": {"articulation": "accent"},
    "!emphasis!": {"articulation": "accent"},
    **{f"!{finger}!": {"finger": finger} for finger in range(5)},
}
# Time in which p notes of a tuplet are played; 5, 7 and 9 depend on the metre (section 4.13).
_TUPLET_TIME = {2: 3, 3: 2, 4: 3, 6: 2, 8: 3}


class AbcError(MusicError):
    """`position` is the character where reading stopped, counted from 1."""

    def __init__(self, text: str, at: int, reason: str) -> None:
        self.position = at + 1
        sign = text[at] if at < len(text) and text[at].strip() else ""
        words = _("At character {place}: {reason}")
        if sign:
            words = _("“{sign}” at character {place}: {reason}")
        super().__init__(words.format(sign=sign, place=self.position, reason=reason))


def read_abc(text: str, key: Key | None = None, metre: Metre | None = None) -> Line:
    """Read bars of ABC. `key` and `metre` hold where the text has no K: or M: field.

    Raises AbcError naming the character and its position.
    """
    if len(text) > MOST_CHARACTERS:
        reason = _("at most {most} characters are read.").format(most=MOST_CHARACTERS)
        raise AbcError(text, MOST_CHARACTERS, reason)
    return Reader(text, key or Key("C", "major"), metre or Metre(4, 4)).read()


class Reader:
    """One pass over the text; lengths are in quarter notes."""

    def __init__(self, text: str, key: Key, metre: Metre) -> None:
        self.text, self.key, self.metre = text, key, metre
        self.at = 0
        self.unit: Fraction | None = None
        self.bars: list[Bar] = []
        self.notes: list[Note] = []
        self.bar_began = 0
        self.kept: dict[str, int] = {}
        self.marks: dict[str, Any] = {}  # decorations waiting for a note
        self.open_slur: int | None = None
        self.slur_next = False
        self.plain = Fraction(0)  # length of the last note before its tuplet
        self.broken = Fraction(1)  # factor waiting for the next note
        self.tuplet, self.tuplet_left = (1, 1), 0
        self.grace = False

    def read(self) -> Line:
        while self.at < len(self.text):
            self._step()
        if self.open_slur is not None:
            raise self._error(_("this slur is never closed."), self.open_slur)
        if self.marks:
            raise self._error(_("a mark stands here without a note after it."), self.at - 1)
        self._close_bar()
        if not self.bars:
            raise self._error(_("there are no notes yet. Write them like G2 (AB) c2."), 0)
        return Line(self.key, self.metre, tuple(self.bars))

    def _step(self) -> None:
        sign = self.text[self.at]
        line_start = self.at == 0 or self.text[self.at - 1] == "\n"
        if line_start and (found := self._match(_LINE_FIELD)):
            self._field(found[1])
        elif sign.isspace() or sign in "`\\y":
            self.at += 1
        elif sign == "%":
            end = self.text.find("\n", self.at)
            self.at = len(self.text) if end < 0 else end
        elif sign == "[" and (found := self._match(_FIELD)):
            self._field(found[1])
        elif found := self._match(_BAR):
            self._bar_line(found[0])
        elif sign in "zxABCDEFGabcdefg^_=[":
            self._sounding()
        elif sign in ".uv!":
            self._decoration()
        elif found := self._match(_TUPLET):
            self._begin_tuplet(found)
        else:
            self._sign(sign)

    def _match(self, pattern: re.Pattern[str]) -> re.Match[str] | None:
        """Match here and move past it."""
        found = pattern.match(self.text, self.at)
        if found and found.end() > self.at:
            self.began, self.at = self.at, found.end()
            return found
        return None

    def _error(self, reason: str, at: int | None = None) -> AbcError:
        return AbcError(self.text, self.at if at is None else at, reason)

    def _field(self, text: str) -> None:
        if text[0] in "XTCZNR":  # names and remarks carry no music
            return
        try:
            value = read_field(text)
        except MusicError as error:
            raise self._error(str(error), self.began) from None
        if isinstance(value, Fraction):
            self.unit = value
        elif self.notes or self.bars:
            raise self._error(_("key and metre cannot change in the middle."), self.began)
        elif isinstance(value, Key):
            self.key = value
        else:
            self.metre = value

    def _sign(self, sign: str) -> None:
        began, self.at = self.at, self.at + 1
        last = self.notes[-1] if self.notes else None
        if sign == "(":
            if self.open_slur is not None:
                raise self._error(_("a slur is already open here."), began)
            self.open_slur, self.slur_next = began, True
        elif sign == ")":
            if self.open_slur is None or not last:
                raise self._error(_("no slur is open here."), began)
            if last.slur_start:
                raise self._error(_("a slur needs two notes."), began)
            self.notes[-1] = replace(last, slur_end=True)
            self.open_slur = None
        elif sign == "-" and last and last.pitch:
            self.notes[-1] = replace(last, tie=True)
        elif sign in "<>" and last and not self.grace:
            self.at = began
            self._break_rhythm()
        elif sign == "{" and not self.grace:
            self.grace = True
        elif sign == "}" and self.grace:
            self.grace = False
        else:
            raise self._error(_("this sign is not read here."), began)

    def _decoration(self) -> None:
        began = self.at
        end = self.text.find("!", began + 1) if self.text[began] == "!" else began
        mark = self.text[began : end + 1]
        if mark not in _DECORATIONS:
            words = _("{mark} is not read here.") if mark else _("this mark is not read here.")
            raise self._error(words.format(mark=mark), began)
        self.marks |= _DECORATIONS[mark]
        self.at = end + 1

    def _begin_tuplet(self, found: re.Match[str]) -> None:
        actual = int(found[1])
        compound = self.metre.beat != Fraction(4, self.metre.unit)
        normal = int(found[2] or 0) or _TUPLET_TIME.get(actual, 3 if compound else 2)
        self.tuplet = (actual, normal)
        self.tuplet_left = int(found[3] or 0) or actual

    def _break_rhythm(self) -> None:
        found = self._match(_BROKEN)
        assert found  # noqa: S101 (called on < or >)
        short = Fraction(1, 2 ** len(found[0]))
        first, second = (2 - short, short) if found[0][0] == ">" else (short, 2 - short)
        last = self.notes[-1]
        value = single_value(self.plain * first, last.value.tuplet, rest=last.value.rest)
        if value is None or self.broken != 1:
            raise self._error(_("this rhythm cannot be broken here."), self.began)
        self.notes[-1] = replace(last, value=value)
        self.broken = second

    def _sounding(self) -> None:
        began = self.at
        rest = self.text[began] in "zx"
        pitches: list[Pitch] = []
        factor = Fraction(1)
        if rest:
            self.at += 1
        elif self.text[began] == "[":
            self.at += 1
            while self.at < len(self.text) and self.text[self.at] != "]":
                pitches.append(self._pitch())
                factor = self._length()
            self.at += 1
        else:
            pitches.append(self._pitch())
        if not rest and not pitches:
            raise self._error(_("a double stop needs its notes between [ and ]."), began)
        self._add(pitches, factor * self._length(), began)

    def _pitch(self) -> Pitch:
        found = self._match(_PITCH)
        if not found:
            raise self._error(_("a note letter A to G is expected."))
        letter = found[2].upper()
        octave = (5 if found[2].islower() else 4) + found[3].count("'") - found[3].count(",")
        if found[1]:
            self.kept[letter] = _ACCIDENTALS[found[1]]
        alter = self.kept.get(letter, self.key.written(letter))
        pitch = Pitch(letter, alter, octave)
        self._check_range(pitch)
        return pitch

    def _check_range(self, pitch: Pitch) -> None:
        if not LOWEST.midi <= pitch.midi <= HIGHEST.midi:
            words = _("{note} is not on the violin.")
            raise self._error(words.format(note=pitch.text()), self.began)

    def _length(self) -> Fraction:
        found = self._match(_LENGTH)
        if not found:
            return Fraction(1)
        below = int(found[3]) if found[3] else 2 ** len(found[2])
        if below == 0:
            raise self._error(_("a length cannot be divided by 0."), self.began)
        return Fraction(int(found[1] or 1), below)

    def _add(self, pitches: list[Pitch], length: Fraction, began: int) -> None:
        if length == 0:
            raise self._error(_("a note needs a length."), began)
        unit = self.unit or usual_length(self.metre)
        self.plain = length * unit * 4
        plain = self.plain * (1 if self.grace else self.broken)
        ratio = self.tuplet if self.tuplet_left and not self.grace else (1, 1)
        value = single_value(plain, ratio, rest=not pitches)
        if value is None:
            raise self._error(_("this length needs two tied notes."), began)
        note = Note(value, pitches[0] if pitches else None, grace=self.grace, **self.marks)
        note = replace(note, chord=tuple(pitches[1:]))
        self.marks = {}
        if pitches and self.slur_next and not self.grace:
            note, self.slur_next = replace(note, slur_start=True), False
        self.bar_began = self.bar_began if self.notes else began
        self.notes.append(note)
        if not self.grace:
            self.broken = Fraction(1)
            self.tuplet_left = max(0, self.tuplet_left - 1)

    def _bar_line(self, sign: str) -> None:
        self._close_bar()

    def _close_bar(self) -> None:
        if self.notes and (self.grace or self.notes[-1].grace):
            raise self._error(_("grace notes need } and a note after them."), self.bar_began)
        if self.notes:
            bar = Bar(tuple(self.notes))
            if bar.quarters > self.metre.bar:
                words = _("this bar is longer than {metre}.").format(metre=self.metre)
                raise self._error(words, self.bar_began)
            self.bars.append(bar)
        self.notes, self.kept = [], {}
