"""A whole tune in ABC 2.1, read as it comes from collections: lenient where `abc_bar` is strict.

Chord symbols, words and unknown decorations are passed over; repeats, endings and changes of key
and metre are kept. Verovio reads ABC too, but (version 6.4) draws a neighbouring note into a
tuplet, so tunes are read here.
"""

import re
from dataclasses import replace
from fractions import Fraction

from practice.music.abc_bar import AbcError, Reader
from practice.music.abc_fields import read_field, usual_length
from practice.music.abc_voices import one_voice
from practice.music.errors import MusicError
from practice.music.keys import Key
from practice.music.line import Bar, Line, Note
from practice.music.pitch import Pitch
from practice.music.rhythm import Metre, fill, single_value
from practice.music.score import Score, checked, numbered
from practice.music.slurs import Span, place_slurs
from studio.language import gettext as _

MOST_NOTES = 20_000
_HEAD = re.compile(r"^X:[ \t]*(\d{1,9})", re.MULTILINE)
_FIELD = re.compile(r"^([A-Za-z]):[ \t]*(.*)$")
_ORNAMENTS = "~HIJKLMNOPQRSTUVWhijklmnopqrst"
_SINGLE_KEY = re.compile(
    r"([A-G][#b]?)[ \t]*(m\b|(?:maj|min|mix|dor|phr|lyd|loc|ion|aeo)[a-z]*)?", re.IGNORECASE
)


def read_tune(text: str, number: int | None = None) -> Score:
    """Read the tune X:`number`, or the first. Raises MusicError with a sentence."""
    block, remarks = _block(text.replace("\r\n", "\n").replace("\r", "\n"), number)
    head, body = _split(block)
    body, left_out = one_voice(block.removesuffix(body), body)
    remarks += left_out
    key, metre = _key(head.get("K", "C")), _metre(head.get("M", ""))
    reader = _TuneReader(body, key, metre or Metre(4, 4))
    if "L" in head:
        unit = read_field(f"L:{head['L']}")
        reader.unit = unit if isinstance(unit, Fraction) else None
    line = reader.read()
    bars, passed = place_slurs(line.bars, reader.spans)
    line = numbered(replace(line, bars=bars))
    long = [bar.number for bar, (_, m) in zip(line.bars, line.signatures, strict=True)
            if metre and m and bar.quarters > m.bar]  # fmt: skip
    if long:
        words = _("Longer than the metre allows: bar {bars}.")
        remarks += (words.format(bars=", ".join(filter(None, long[:5]))),)
    return checked(Score(head.get("T", ""), head.get("C", ""), "", line, remarks, passed))


def _block(text: str, number: int | None) -> tuple[str, tuple[str, ...]]:
    """The text of one tune of a file."""
    heads = list(_HEAD.finditer(text))
    if not heads:
        if "K:" not in text:
            raise MusicError(_("This is no ABC tune: it has no K: field."))
        return text, ()
    chosen = next((h for h in heads if number is not None and int(h[1]) == number), None)
    if number is not None and chosen is None:
        raise MusicError(_("There is no tune X:{number} in this file.").format(number=number))
    begin = (chosen or heads[0]).start()
    end = next((head.start() for head in heads if head.start() > begin), len(text))
    remarks: tuple[str, ...] = ()
    if len(heads) > 1 and number is None:
        words = _("This file holds {n} tunes; the first was read.")
        remarks = (words.format(n=len(heads)),)
    return text[begin:end], remarks


def _split(block: str) -> tuple[dict[str, str], str]:
    """Header fields (the first of each) and the music after K:."""
    head: dict[str, str] = {}
    lines = block.split("\n")
    for index, line in enumerate(lines):
        found = _FIELD.match(line.split("%")[0].rstrip())
        if found:
            head.setdefault(found[1], found[2].strip())
            if found[1] == "K":
                return head, "\n".join(lines[index + 1 :])
    return head, ""


def _key(text: str) -> Key:
    """A key with clef and voice words behind it; pipes' keys sound as D major."""
    if text[:2] in ("HP", "Hp"):
        return Key("D", "major")
    found = _SINGLE_KEY.match(text)
    value = read_field(f"K:{found[0].strip() if found else text}")
    return value if isinstance(value, Key) else Key("C", "major")


def _metre(text: str) -> Metre | None:
    if text in ("", "none"):
        return None
    value = read_field(f"M:{text}")
    return value if isinstance(value, Metre) else None


class _TuneReader(Reader):
    """Passes over what carries no notes; remembers repeats and changes for the next bar."""

    def __init__(self, text: str, key: Key, metre: Metre) -> None:
        super().__init__(text, key, metre)
        self.first_key, self.first_metre = key, metre
        self.next_key: Key | None = None
        self.next_metre: Metre | None = None
        self.repeat_start = False
        self.ending = ""
        self.spans: list[Span] = []
        self.begun: list[int] = []  # notes on which the open slurs begin
        self.before = 0  # notes in the bars before this one

    def read(self) -> Line:
        while self.at < len(self.text):
            self._step()
        self._close_bar()
        if not self.bars:
            raise MusicError(_("This file holds no notes."))
        return Line(self.first_key, self.first_metre, tuple(self.bars))

    def _step(self) -> None:
        sign = self.text[self.at]
        if sign == '"':
            self._annotation()
        elif sign in "+!" and (end := self.text.find(sign, self.at + 1)) > 0:
            self._named(self.text[self.at : end + 1].replace("+", "!"), end)
        elif sign == "Z":
            self._bars_of_rest()
        elif sign == "/" and self.grace:
            self.at += 1
        elif sign == "&":
            raise self._error(_("two voices in one bar are not read here."))
        elif self.text.startswith("[|]", self.at):  # an invisible bar line
            self.at += 3
        elif self._passed_over(sign):
            self.at += 1
        else:
            super()._step()

    def _passed_over(self, sign: str) -> bool:
        """Ornament letters, and the dot of a dotted bar line, slur or tie."""
        if sign == ".":
            return self.text[self.at + 1 : self.at + 2] in ("|", "(", "-")
        return sign in _ORNAMENTS and not self._at_field()

    def _at_field(self) -> bool:
        starts = self.at == 0 or self.text[self.at - 1] == "\n"
        return starts and self.text[self.at + 1 : self.at + 2] == ":"

    def _annotation(self) -> None:
        """Chord symbols and words are passed over; a single digit is a finger."""
        end = self.text.find('"', self.at + 1)
        if end < 0:
            raise self._error(_("these words are never closed."))
        words = self.text[self.at + 1 : end].lstrip("^_<>@")
        if words in ("0", "1", "2", "3", "4"):
            self.marks["finger"] = int(words)
        self.at = end + 1

    def _named(self, mark: str, end: int) -> None:
        try:
            self._decoration()
        except AbcError:
            self.at = end + 1

    def _bars_of_rest(self) -> None:
        found = re.compile(r"Z(\d{0,3})").match(self.text, self.at)
        count = min(int(found[1] or 1), 200) if found else 1
        for index in range(count):
            self.notes = [Note(replace(v, rest=True)) for v in fill(self.metre.bar)]
            if index < count - 1:
                self._close_bar()
        self.at = found.end() if found else self.at + 1

    def _field(self, text: str) -> None:
        if text[0] == "V" and "clef=bass" in text:
            words = _("several voices are not read; save the violin part alone.")
            raise self._error(words, self.at)
        if text[0] not in "KML":
            return
        value = _key(text[2:].strip()) if text[0] == "K" else read_field(text)
        if isinstance(value, Fraction):
            self.unit = value
        elif isinstance(value, Key):
            self.next_key = value
        else:
            self.next_metre = value
        if not self.notes:
            self._apply_changes()

    def _apply_changes(self) -> None:
        if self.next_key:
            self.key = self.next_key
        if self.next_metre:
            self.metre = self.next_metre
        if not self.bars:
            self.first_key, self.first_metre = self.key, self.metre
            self.next_key = self.next_metre = None

    def _sign(self, sign: str) -> None:
        if sign == "(":
            self.at += 1
            self.begun.append(self.before + len(self.notes))
        elif sign == ")":
            self.at += 1
            self._end_slur()
        elif sign == "-":
            self.at += 1
            if self.notes and self.notes[-1].pitch:
                self.notes[-1] = replace(self.notes[-1], tie=True)
        else:
            super()._sign(sign)

    def _end_slur(self) -> None:
        """`(c d (e) f g)` joins two slurs on e (standard 2.1, section 4.11)."""
        last = self.before + len(self.notes) - 1
        if not self.begun or last < 0:
            return
        begun = self.begun.pop()
        if begun >= last and self.begun:
            self.spans.append((self.begun.pop(), last))
            self.begun.append(last)
        elif begun < last:
            self.spans.append((begun, last))

    def _add(self, pitches: list[Pitch], length: Fraction, began: int) -> None:
        self._count()
        unit = (self.unit or usual_length(self.metre)) * 4
        if self.tuplet_left or self.broken != 1 or single_value(length * unit):
            super()._add(pitches, length, began)
            return
        try:
            values = fill(length * unit)  # five eighths: a half tied to an eighth
        except MusicError:
            raise self._error(_("this note is too short to be written."), began) from None
        for value in values:
            super()._add(pitches, value.quarters / unit, began)
            self.notes[-1] = replace(self.notes[-1], tie=bool(pitches))
        self.notes[-1] = replace(self.notes[-1], tie=False)

    def _check_range(self, pitch: Pitch) -> None:
        """Left to `checked`, which can name the bar."""

    def _bar_line(self, sign: str) -> None:
        ends = sign.startswith(":")
        if ends and not self.notes and self.bars:
            self.bars[-1] = replace(self.bars[-1], repeat_end=True)
        closing = bool(self.notes)
        self._close_bar()
        if ends and closing and self.bars:
            self.bars[-1] = replace(self.bars[-1], repeat_end=True)
        if sign.rstrip("[123456789").endswith(":") and sign != ":|":
            self.repeat_start = True
        if sign[-1].isdigit():
            self.ending = sign[-1]
        elif closing and (ends or sign in ("||", "|]")):
            self.ending = ""

    def _count(self) -> None:
        if self.before + len(self.notes) > MOST_NOTES:
            raise MusicError(_("This piece has more than {most} notes.").format(most=MOST_NOTES))

    def _close_bar(self) -> None:
        self._count()
        if self.notes:
            self.bars.append(
                Bar(
                    tuple(self.notes),
                    key=self.next_key,
                    metre=self.next_metre,
                    repeat_start=self.repeat_start,
                    ending=self.ending,
                )
            )
            self.next_key = self.next_metre = None
            self.repeat_start = False
        self._apply_changes()
        self.before += len(self.notes)
        self.notes, self.kept = [], {}
