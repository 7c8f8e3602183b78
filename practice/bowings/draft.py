"""A bowing while it is tapped together, as the form carries it from press to press."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace

from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import pgettext_lazy

from practice.music.bowings import Pattern, parse_pattern
from practice.music.errors import BadRhythm

MOST = 16  # notes and rests one can still oversee on the page
METRES = ("2/4", "3/4", "4/4", "6/8", "3/8")
VALUES = (
    ("2", pgettext_lazy("a note’s value", "half")),
    ("4.", pgettext_lazy("a note’s value", "dotted quarter")),
    ("4", pgettext_lazy("a note’s value", "quarter")),
    ("8.", pgettext_lazy("a note’s value", "dotted eighth")),
    ("8", pgettext_lazy("a note’s value", "eighth")),
    ("16", pgettext_lazy("a note’s value", "sixteenth")),
    ("8t", pgettext_lazy("a note’s value", "triplet eighth")),
    ("r4", pgettext_lazy("a note’s value", "quarter rest")),
    ("r8", pgettext_lazy("a note’s value", "eighth rest")),
)
MARKS = (
    ("", pgettext_lazy("a stroke", "plain")),
    ("s", pgettext_lazy("a stroke", "staccato")),
    ("n", pgettext_lazy("a stroke", "tenuto")),
    ("w", pgettext_lazy("a stroke", "martelé")),
    ("a", pgettext_lazy("a stroke", "accent")),
    ("l", pgettext_lazy("a stroke", "lift")),
)
NAMES = dict(VALUES)


@dataclass(frozen=True)
class Tapped:
    """`slurred` to the next one; `same` keeps the bow's direction from the one before."""

    value: str
    slurred: bool = False
    mark: str = ""
    same: bool = False

    @property
    def rest(self) -> bool:
        return self.value.startswith("r")

    @property
    def name(self) -> str | Promise:
        return NAMES[self.value]


@dataclass(frozen=True)
class Draft:
    metre: str = "2/4"
    notes: tuple[Tapped, ...] = ()
    up: bool = False
    off: bool = False
    each: int = 1
    name: str = ""

    @property
    def full(self) -> bool:
        return len(self.notes) >= MOST

    @property
    def code(self) -> str:
        words = [self.metre, *(["up"] if self.up else [])]
        under = False
        for note, following in zip(self.notes, (*self.notes[1:], None), strict=True):
            goes_on = note.slurred and following is not None and not following.rest
            goes_on = goes_on and not note.rest
            opening = "=" if note.same and not under and not note.rest else ""
            opening += "(" if goes_on and not under else ""
            closing = ")" if under and not goes_on else ""
            words.append(f"{opening}{note.value}{'' if note.rest else note.mark}{closing}")
            under = goes_on
        words += ["off"] if self.off else []
        words += [f"x{self.each}"] if self.each > 1 else []
        return " ".join(words)

    def pattern(self) -> Pattern:
        """Raises BadRhythm with a sentence."""
        if not self.notes:
            raise BadRhythm(_("There are no notes yet. Tap the first one."))
        return parse_pattern(self.code, name=self.name)

    def pressed(self, press: str) -> Draft:
        """After a button: "add:8", "last" (takes the last one away) or "clear"."""
        value = press.removeprefix("add:")
        if press.startswith("add:") and value in NAMES and not self.full:
            return replace(self, notes=(*self.notes, Tapped(value)))
        if press == "last":
            return replace(self, notes=self.notes[:-1])
        return replace(self, notes=()) if press == "clear" else self


def draft_from(data: Mapping[str, str]) -> Draft:
    """What the page posted; what is no bowing is dropped."""
    notes = []
    for number in range(MOST):
        value = data.get(f"n{number}-value", "")
        if value not in NAMES:
            break
        mark = data.get(f"n{number}-mark", "")
        notes.append(
            Tapped(
                value,
                f"n{number}-slurred" in data,
                mark if mark in dict(MARKS) else "",
                f"n{number}-same" in data,
            )
        )
    metre, each = data.get("metre", ""), data.get("each", "1")
    return Draft(
        metre if metre in METRES else METRES[0],
        tuple(notes),
        data.get("start") == "up",
        "off" in data,
        int(each) if re.fullmatch(r"[1-4]", each) else 1,
        " ".join(data.get("name", "").split()),
    )


def draft_of(pattern: Pattern, name: str) -> Draft:
    """A kept bowing, to be changed."""
    ends = {sum(pattern.slurs[: i + 1]) for i in range(len(pattern.slurs))}
    starts = {sum(pattern.slurs[:i]): i for i in range(len(pattern.slurs))}
    letters = {"staccato": "s", "tenuto": "n", "wedge": "w", "accent": "a", "lift": "l"}
    notes, sounding = [], 0
    for value in pattern.values:
        if value.rest:
            notes.append(Tapped(value.code))
            continue
        notes.append(
            Tapped(
                value.code,
                sounding + 1 not in ends,
                letters.get(pattern.articulation[sounding], ""),
                starts.get(sounding) in pattern.same_bow,
            )
        )
        sounding += 1
    return Draft(
        pattern.metre.text,
        tuple(notes),
        pattern.start == "up",
        not pattern.on_string,
        pattern.each,
        name,
    )
