"""Bowing patterns: values, slurs and strokes that repeat along a scale.

A pattern is written in one line of text, its code: `3/4 4 (8 8) (8 8)` is a long note and two
slurred pairs in three-four time. A letter after a value is its mark: s staccato, n tenuto,
w wedge (martelé), a accent, l lift. `=` before a stroke keeps the bow going the same way,
`up` starts up-bow, `off` is off the string, `x4` plays each scale note four times.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

from practice.music.errors import BadRhythm
from practice.music.line import Bow
from practice.music.rhythm import Metre, Value, parse_metre, parse_value
from studio.language import gettext as _

_MARKS = {"s": "staccato", "n": "tenuto", "w": "wedge", "a": "accent", "l": "lift", "": ""}
_LETTERS = {word: letter for letter, word in _MARKS.items()}
_TOKEN = re.compile(r"(=?\(?)(r?\d{1,2}\.{0,2}(?:t(?:\d{1,2}:\d{1,2})?)?)([snwal]?)(\)?)")
MOST_NOTES = 32  # in one pattern


@dataclass(frozen=True, slots=True)
class Pattern:
    """`values` include rests; `slurs` counts the sounding notes of each bow stroke;
    `articulation` has one word for each sounding note; `same_bow` holds the strokes that go on
    in the direction of the stroke before (hooked, or the bow taken again). `called` and `trade`
    are its names as they are stored: English where it is one of the list and so has a `slug`."""

    values: tuple[Value, ...]
    slurs: tuple[int, ...]
    articulation: tuple[str, ...]
    metre: Metre
    on_string: bool = True
    each: int = 1
    start: Bow = "down"
    same_bow: tuple[int, ...] = ()
    called: str = ""
    trade: str = ""
    slug: str = ""

    def __post_init__(self) -> None:
        notes = self.notes
        if not 1 <= notes <= MOST_NOTES:
            words = _("A bowing has 1 to {most} notes; this one has {n}.")
            raise BadRhythm(words.format(most=MOST_NOTES, n=notes))
        if sum(self.slurs) != notes or any(count < 1 for count in self.slurs):
            words = _("The slurs cover {count} notes, but the bowing has {n}.")
            raise BadRhythm(words.format(count=sum(self.slurs), n=notes))
        if len(self.articulation) != notes:
            words = _("{count} marks for {n} notes.")
            raise BadRhythm(words.format(count=len(self.articulation), n=notes))
        if not 1 <= self.each <= 8:
            raise BadRhythm(_("Each note {n} times: choose 1 to 8.").format(n=self.each))
        if any(value.rest for value in self._inside_slurs()):
            raise BadRhythm(_("A rest stands under a slur. End the slur before the rest."))

    @property
    def name(self) -> str:
        """As it is shown."""
        return _(self.called) if self.slug and self.called else self.called

    @property
    def trade_name(self) -> str:
        """The trade's word for it, as it is shown."""
        return _(self.trade) if self.slug and self.trade else self.trade

    def _inside_slurs(self) -> list[Value]:
        """Values that stand between two notes of one stroke."""
        inside: list[Value] = []
        ends, seen = self._stroke_ends(), 0
        for value in self.values:
            if value.rest and seen and seen not in ends and seen < self.notes:
                inside.append(value)
            seen += not value.rest
        return inside

    def _stroke_ends(self) -> set[int]:
        return {sum(self.slurs[: i + 1]) for i in range(len(self.slurs))}

    @property
    def notes(self) -> int:
        """Sounding notes in the pattern."""
        return sum(not value.rest for value in self.values)

    @property
    def quarters(self) -> Fraction:
        return sum((value.quarters for value in self.values), Fraction(0))

    @property
    def directions(self) -> tuple[Bow, ...]:
        """Direction of each stroke when the pattern begins with its own first bow."""
        return bow_directions(self.start, len(self.slurs), self.same_bow)

    @property
    def turns_round(self) -> bool:
        """True where the pattern, repeated, begins with the other bow each time."""
        return (len(self.slurs) - len([s for s in self.same_bow if s])) % 2 == 1

    @property
    def repeats(self) -> int:
        """Into how many equal parts of whole beats the pattern falls: 2 for two slurred pairs."""
        for count in range(len(self.slurs), 1, -1):
            if len(self.values) % count or len(self.slurs) % count or self.notes % count:
                continue
            if (self.quarters / count) % self.metre.beat == 0 and self._copies(count):
                return count
        return 1

    def _copies(self, count: int) -> bool:
        wholes = (self.values, self.slurs, self.articulation)
        return not self.same_bow and all(
            whole[: len(whole) // count] * count == whole for whole in wholes
        )

    def part(self, parts: int, count: int) -> "Pattern":
        """The first of `count` equal parts."""
        strokes = len(self.slurs) * parts // count
        return replace(
            self,
            values=self.values[: len(self.values) * parts // count],
            slurs=self.slurs[:strokes],
            articulation=self.articulation[: sum(self.slurs[:strokes])],
        )

    @property
    def code(self) -> str:
        tokens = [self.metre.text]
        if self.start == "up":
            tokens.append("up")
        ends, seen, stroke = self._stroke_ends(), 0, 0
        for value in self.values:
            if value.rest:
                tokens.append(value.code)
                continue
            first = seen == 0 or seen in ends
            text = value.code + _LETTERS[self.articulation[seen]]
            seen += 1
            slurred = self.slurs[stroke] > 1
            if first:
                opening = "=" if stroke in self.same_bow else ""
                text = opening + ("(" if slurred else "") + text
            if seen in ends:
                text += ")" if slurred else ""
                stroke += 1
            tokens.append(text)
        tokens += ["off"] if not self.on_string else []
        tokens += [f"x{self.each}"] if self.each > 1 else []
        return " ".join(tokens)

    @property
    def path(self) -> str:
        """The code for use in an address: `3-4_4_(8_8)_(8_8)`."""
        return self.code.replace(" ", "_").replace("/", "-")

    def as_json(self) -> dict[str, Any]:
        """For storage; read back by `pattern_from_json`."""
        return {
            "code": self.code,
            "name": self.called,
            "trade_name": self.trade,
            "slug": self.slug,
        }


def bow_directions(start: Bow, strokes: int, same_bow: Sequence[int] = ()) -> tuple[Bow, ...]:
    """Alternating bows; a stroke in `same_bow` keeps the direction of the one before."""
    found: list[Bow] = []
    for stroke in range(strokes):
        if not found:
            found.append(start)
        elif stroke in same_bow:
            found.append(found[-1])
        else:
            found.append(other_bow(found[-1]))
    return tuple(found)


def other_bow(bow: Bow) -> Bow:
    return "up" if bow == "down" else "down"


def parse_pattern(code: str, *, name: str = "", trade_name: str = "", slug: str = "") -> Pattern:
    """Read a pattern code or its address form. Raises BadRhythm naming the part."""
    tokens = code.replace("_", " ").split()
    if len(tokens) > 4 * MOST_NOTES:
        raise BadRhythm(_("A bowing has at most {most} notes.").format(most=MOST_NOTES))
    if not tokens:
        raise BadRhythm(_("The bowing is empty. Write it like 2/4 (8 8) 8 8."))
    metre = parse_metre(tokens[0].replace("-", "/"))
    rest = tokens[1:]
    start: Bow = "up" if "up" in rest else "down"
    on_string = "off" not in rest
    each = next((int(t[1:]) for t in rest if re.fullmatch(r"x\d", t)), 1)
    notes = [t for t in rest if t not in ("up", "off") and not re.fullmatch(r"x\d", t)]
    values, slurs, marks, same_bow = _read_notes(notes)
    return Pattern(
        values, slurs, marks, metre, on_string, each, start, same_bow, name, trade_name, slug
    )


def _read_notes(
    tokens: list[str],
) -> tuple[tuple[Value, ...], tuple[int, ...], tuple[str, ...], tuple[int, ...]]:
    values: list[Value] = []
    slurs: list[int] = []
    marks: list[str] = []
    same: list[int] = []
    open_slur = False
    for token in tokens:
        found = _TOKEN.fullmatch(token)
        if not found:
            raise BadRhythm(_("“{token}” in the bowing cannot be read.").format(token=token))
        value = parse_value(found[2])
        values.append(value)
        if value.rest:
            continue
        marks.append(_MARKS[found[3]])
        if "(" in found[1] and open_slur:
            raise BadRhythm(_("A slur is opened twice before “{token}”.").format(token=token))
        if "=" in found[1]:
            same.append(len(slurs))
        if open_slur:
            slurs[-1] += 1
        else:
            slurs.append(1)
        open_slur = (open_slur or "(" in found[1]) and not found[4]
    if open_slur:
        raise BadRhythm(_("A slur is opened and never closed: add “)”."))
    return tuple(values), tuple(slurs), tuple(marks), tuple(same)


def pattern_from_json(data: dict[str, Any]) -> Pattern:
    """Read what `as_json` gave. Raises BadRhythm."""
    names = {k: str(data.get(k, "")) for k in ("name", "trade_name", "slug")}
    return parse_pattern(str(data.get("code", "")), **names)


def doubled(pattern: Pattern) -> Pattern:
    """The same bowing twice as fast: every value halved, played twice in its bar."""
    halved = [replace(value, base=min(64, value.base * 2)) for value in pattern.values]
    shift = len(pattern.slurs)
    return replace(
        pattern,
        values=tuple(halved * 2),
        slurs=pattern.slurs * 2,
        articulation=pattern.articulation * 2,
        same_bow=pattern.same_bow + tuple(s + shift for s in pattern.same_bow),
        called=_("{bowing}, twice as fast").format(bowing=pattern.name) if pattern.name else "",
        trade="",
        slug="",
    )
