"""Fingers and strings the teacher has written over notes, kept as one line of text.

`3.4-7.0-9.2A-11.D`: fourth finger on note 3 (counted from 0), note 7 open, second finger on the A
string for note 9, note 11 on the D string with whatever finger suits.
"""

import re
from collections.abc import Mapping
from typing import NamedTuple

from practice.music.errors import NoFingering
from practice.music.naming import string_name
from studio.language import gettext as _
from studio.language import pgettext

MOST_OWN = 64  # more notes than three octaves up and down have
_ONE = re.compile(r"([0-4]?)([GDAE]?)")
_CODE = re.compile(r"(\d{1,3})\.([0-4]?)([GDAE]?)", re.ASCII)


class Own(NamedTuple):
    """What is written over one note; None and "" leave that to the program."""

    finger: int | None = None
    string: str = ""

    @property
    def text(self) -> str:
        """ "4", "2A", "D"; what is kept."""
        return f"{'' if self.finger is None else self.finger}{self.string}"

    @property
    def shown(self) -> str:
        """The same with the string's name among syllables: "2La"; `parse_own` reads it."""
        return f"{'' if self.finger is None else self.finger}{string_name(self.string)}"


def parse_own(typed: str) -> Own | None:
    """Read "4", "4 A", "d" or "open"; None of nothing. Raises NoFingering naming the text."""
    text = "".join(typed.split()).upper().replace("OPEN", "0")
    text = text.replace(pgettext("typed for an open string", "open").upper(), "0")
    for letter in "GDAE":
        if string_name(letter) != letter:
            text = text.replace(string_name(letter).upper(), letter)
    found = _ONE.fullmatch(text)
    if not found:
        words = _("“{text}” is no finger. Write 0 to 4, with the string if it matters: {example}.")
        raise NoFingering(words.format(text=typed.strip()[:12], example=f"4{string_name('A')}"))
    return Own(int(found[1]) if found[1] else None, found[2]) if text else None


def parse_fingers(code: str) -> dict[int, Own]:
    """Read what `fingers_code` gave. Raises NoFingering."""
    found: dict[int, Own] = {}
    for part in code.split("-") if code else ():
        match = _CODE.fullmatch(part)
        if not match or not (match[2] or match[3]) or len(found) == MOST_OWN:
            words = _("“{text}” does not say which fingers stand on which notes.")
            raise NoFingering(words.format(text=code[:40]))
        found[int(match[1])] = Own(int(match[2]) if match[2] else None, match[3])
    return found


def fingers_code(own: Mapping[int, Own]) -> str:
    return "-".join(f"{note}.{each.text}" for note, each in sorted(own.items()))


def with_another_top(own: Mapping[int, Own], before: int, after: int) -> dict[int, Own]:
    """The same fingers where the way up has `after` notes instead of `before`.

    Notes of the way up keep their place from below, those of the way down theirs from the end.
    """
    kept: dict[int, Own] = {}
    for note, each in own.items():
        down = 2 * before - 2 - note  # steps above the last note
        if note < min(before, after):
            kept[note] = each
        elif note >= before and down < after - 1:
            kept[2 * after - 2 - down] = each
    return kept
