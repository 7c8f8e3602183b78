"""Does a bowing fit a metre, and what else can be made of it."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

from practice.music.bowings import MOST_NOTES, Pattern, doubled
from practice.music.rhythm import Metre, Value
from studio.language import gettext as _
from studio.language import gettext_noop

METRES = (Metre(2, 4), Metre(3, 4), Metre(4, 4), Metre(6, 8), Metre(3, 8))


@dataclass(frozen=True, slots=True)
class Fit:
    """`fits` False where a note would cross a bar line. `bars`: after how many bars the bowing
    begins on the first beat again."""

    fits: bool
    bars: int
    words: str


def fit(pattern: Pattern, metre: Metre) -> Fit:
    """How a bowing lies in a metre."""
    bars = _common(pattern.quarters, metre.bar) / metre.bar
    time = Fraction(0)
    for value in pattern.values * int(bars * metre.bar / pattern.quarters):
        if time % metre.bar + value.quarters > metre.bar:
            words = _("A {value} would cross the bar line of {metre}.")
            return Fit(False, int(bars), words.format(value=value.name, metre=metre))
        time += value.quarters
    if bars == 1:
        words = _("Fits {metre}: every bar begins with the bowing.")
        return Fit(True, 1, words.format(metre=metre))
    words = _("Fits {metre}: the bowing begins on one again every {bars} bars.")
    return Fit(True, int(bars), words.format(metre=metre, bars=bars))


def metres_for(pattern: Pattern) -> tuple[Metre, ...]:
    """The usual metres a bowing fits in whole beats, its own first."""
    others = [
        metre
        for metre in METRES
        if metre != pattern.metre
        and pattern.quarters % metre.beat == 0
        and fit(pattern, metre).fits
    ]
    return (pattern.metre, *others)


def _common(one: Fraction, other: Fraction) -> Fraction:
    """The least common multiple of two lengths."""
    total = one
    while total % other:
        total += one
    return total


# How a pair of equal notes is played; common practice, no source.
RHYTHMS = {
    gettext_noop("long, short"): (Fraction(3, 2), Fraction(1, 2)),
    gettext_noop("short, long"): (Fraction(1, 2), Fraction(3, 2)),
}


def in_rhythm(pattern: Pattern, rhythm: str) -> Pattern | None:
    """The same slurs in a dotted rhythm; None where the notes do not pair."""
    pairs = [pattern.values[i : i + 2] for i in range(0, len(pattern.values), 2)]
    values: list[Value] = []
    for pair in pairs:
        if len(pair) < 2 or pair[0] != pair[1] or pair[0].dots or pair[0].rest:
            return None
        for factor in RHYTHMS[rhythm]:
            long = factor > 1
            base = pair[0].base if long else pair[0].base * 2
            if base > 64:
                return None
            values.append(replace(pair[0], base=base, dots=int(long)))
    name = f"{pattern.name}, {_(rhythm)}" if pattern.name else _(rhythm)
    return replace(pattern, values=tuple(values), called=name, trade="", slug="")


def rhythm_variations(pattern: Pattern) -> tuple[Pattern, ...]:
    """The bowing in every rhythm it can take."""
    found = (in_rhythm(pattern, rhythm) for rhythm in RHYTHMS)
    return tuple(variation for variation in found if variation)


FASTEST_VALUE = 32  # a doubled sixty-fourth has no sign here
# Names in addresses and storage of what `variations` gives.
LONG_SHORT, SHORT_LONG, DOUBLED = "long-short", "short-long", "doubled"


def variations(pattern: Pattern) -> Mapping[str, Pattern]:
    """The bowing in the rhythms it can take, and twice as fast where that can be written."""
    long_short, short_long = RHYTHMS
    found = {LONG_SHORT: in_rhythm(pattern, long_short)}
    found[SHORT_LONG] = in_rhythm(pattern, short_long)
    slow = all(value.base <= FASTEST_VALUE for value in pattern.values)
    found[DOUBLED] = doubled(pattern) if slow and 2 * pattern.notes <= MOST_NOTES else None
    return {name: each for name, each in found.items() if each}
