"""Note values and metres."""

import re
from dataclasses import dataclass
from fractions import Fraction

from practice.music.errors import BadRhythm
from studio.language import gettext as _
from studio.language import ngettext

_BASES = (1, 2, 4, 8, 16, 32, 64)
_VALUE = re.compile(r"(r?)(\d{1,2})(\.{0,2})(?:t(?:(\d{1,2}):(\d{1,2}))?)?", re.ASCII)


@dataclass(frozen=True, slots=True)
class Value:
    """`base` 4 is a quarter note; `tuplet` (3, 2) plays three in the time of two."""

    base: int
    dots: int = 0
    tuplet: tuple[int, int] = (1, 1)
    rest: bool = False

    @property
    def quarters(self) -> Fraction:
        """Length in quarter notes."""
        plain = Fraction(4, self.base) * (2 - Fraction(1, 2**self.dots))
        return plain * Fraction(self.tuplet[1], self.tuplet[0])

    @property
    def code(self) -> str:
        """ "8", "8.", "8t" (triplet), "8t5:4", "r4" (rest)."""
        actual, normal = self.tuplet
        tuplet = "" if actual == normal else "t" if (actual, normal) == (3, 2) else None
        tuplet = f"t{actual}:{normal}" if tuplet is None else tuplet
        return f"{'r' if self.rest else ''}{self.base}{'.' * self.dots}{tuplet}"

    @property
    def name(self) -> str:
        """ "dotted eighth note", "quarter rest"."""
        return self.names(1)

    def names(self, count: int) -> str:
        """The same for so many of them, without the number: "dotted eighth notes"."""
        plain = _rests(self.base, count) if self.rest else _notes(self.base, count)
        pattern = ("{value}", _("dotted {value}"), _("double-dotted {value}"))[self.dots]
        return pattern.format(value=plain)


def _notes(base: int, count: int) -> str:
    return {
        1: ngettext("whole note", "whole notes", count),
        2: ngettext("half note", "half notes", count),
        4: ngettext("quarter note", "quarter notes", count),
        8: ngettext("eighth note", "eighth notes", count),
        16: ngettext("sixteenth note", "sixteenth notes", count),
        32: ngettext("thirty-second note", "thirty-second notes", count),
        64: ngettext("sixty-fourth note", "sixty-fourth notes", count),
    }[base]


def _rests(base: int, count: int) -> str:
    return {
        1: ngettext("whole rest", "whole rests", count),
        2: ngettext("half rest", "half rests", count),
        4: ngettext("quarter rest", "quarter rests", count),
        8: ngettext("eighth rest", "eighth rests", count),
        16: ngettext("sixteenth rest", "sixteenth rests", count),
        32: ngettext("thirty-second rest", "thirty-second rests", count),
        64: ngettext("sixty-fourth rest", "sixty-fourth rests", count),
    }[base]


def parse_value(code: str) -> Value:
    """Read the code of a value. Raises BadRhythm naming it."""
    found = _VALUE.fullmatch(code)
    if not found or int(found[2]) not in _BASES:
        words = _("“{code}” is not a note value. Write 4, 8, 8., 16 or 8t (triplet).")
        raise BadRhythm(words.format(code=code))
    tuplet = (1, 1)
    if found[4]:
        tuplet = (int(found[4]), int(found[5]))
        if not (1 < tuplet[0] <= 16 and 1 <= tuplet[1] <= 16):
            raise BadRhythm(_("“{code}” is not a usable tuplet.").format(code=code))
    elif "t" in code:
        tuplet = (3, 2)
    return Value(int(found[2]), len(found[3]), tuplet, bool(found[1]))


@dataclass(frozen=True, slots=True)
class Metre:
    """`count` beats of 1/`unit` in a bar."""

    count: int
    unit: int

    @property
    def bar(self) -> Fraction:
        """Length of a bar in quarter notes."""
        return Fraction(4 * self.count, self.unit)

    @property
    def beat(self) -> Fraction:
        """Length of a beat in quarter notes; three eighths in 6/8, 9/8 and 12/8."""
        if self.unit >= 8 and self.count % 3 == 0:
            return Fraction(12, self.unit)
        return Fraction(4, self.unit)

    @property
    def text(self) -> str:
        return f"{self.count}/{self.unit}"

    def __str__(self) -> str:
        return self.text


def parse_metre(text: str) -> Metre:
    """Read "3/4", "C" or "C|". Raises BadRhythm naming the value."""
    text = {"C": "4/4", "C|": "2/2"}.get(text.strip(), text.strip())
    found = re.fullmatch(r"(\d{1,2})/(\d{1,2})", text, re.ASCII)
    if not found or int(found[2]) not in _BASES or not 1 <= int(found[1]) <= 24:
        words = _("“{text}” is not a metre. Write it like 3/4 or 6/8.")
        raise BadRhythm(words.format(text=text))
    return Metre(int(found[1]), int(found[2]))


def single_value(
    plain: Fraction, tuplet: tuple[int, int] = (1, 1), *, rest: bool = False
) -> Value | None:
    """The one value of a plain length in quarters (before its tuplet), or None."""
    if plain <= 0:
        return None
    for dots in (0, 1, 2):
        base = 4 * (2 - Fraction(1, 2**dots)) / plain
        if base.denominator == 1 and base in _BASES:
            return Value(int(base), dots, tuplet, rest)
    return None


def fill(length: Fraction) -> tuple[Value, ...]:
    """The fewest plain values that add up to a length, longest first: 5/2 -> half, eighth."""
    values = []
    choices = [Value(base, dots) for base in _BASES for dots in (1, 0)]
    while length > 0:
        fitting = [value for value in choices if value.quarters <= length]
        if not fitting:
            words = _("{n} quarter notes cannot be written without a tuplet.")
            raise BadRhythm(words.format(n=length))
        values.append(fitting[0])
        length -= fitting[0].quarters
    return tuple(values)
