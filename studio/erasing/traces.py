"""A family's names and addresses, found in texts and taken out. Plain values only."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, ValuesView
from typing import Any

GONE = "…"
LEAST_LETTERS = 3
# Small words inside names, which stand in any text.
PARTICLES = {
    "van",
    "von",
    "der",
    "den",
    "del",
    "della",
    "dos",
    "das",
    "bin",
    "ibn",
    "the",
    "und",
    "and",
}
BETWEEN_DIGITS = r"[\s().\-/]*"
LEAST_DIGITS = 6


def parts(name: str) -> list[str]:
    """The whole name, then each word of it that can stand for somebody by itself."""
    words = [word for word in re.split(r"[\s\-‐–]+", name) if len(word) >= LEAST_LETTERS]
    single = [word for word in words if flat(word) not in PARTICLES]
    return [name.strip(), *single]


def pattern(term: str) -> re.Pattern[str]:
    """Finds the term in a flat text as a word of its own; longer ones also with an s at the end,
    a short one would meet another word ("Thị", "this").

    A telephone number is found however its digits are spaced.
    """
    digits = re.sub(r"\D", "", term)
    if len(digits) >= LEAST_DIGITS and not re.search(r"[^\W\d_]|@", term):
        plus = r"\+?" if term.strip().startswith("+") else ""
        return re.compile(rf"(?<!\d){plus}{BETWEEN_DIGITS.join(digits)}(?!\d)")
    low = flat(term)
    ending = "s?" if len(low) > LEAST_LETTERS else ""
    return re.compile(rf"(?<!\w){re.escape(low)}{ending}(?!\w)")


class _Flat(dict[int, str]):
    """A table for `str.translate` that grows with every sign it meets."""

    def __missing__(self, code: int) -> str:
        base = unicodedata.normalize("NFKD", chr(code))[0].lower()
        self[code] = base if len(base) == 1 else chr(code)
        return self[code]


_FLAT = _Flat()


def flat(text: str) -> str:
    """Small letters without accents, sign for sign, so that places stay where they are."""
    return text.lower() if text.isascii() else unicodedata.normalize("NFC", text).translate(_FLAT)


class Finder:
    """Looks for all terms at once in many texts, of which most are alike and hold none."""

    AT_MOST = 100_000  # texts that are remembered to hold none

    def __init__(self, patterns: Iterable[re.Pattern[str]]) -> None:
        each = [found.pattern for found in patterns]
        self._any = re.compile("|".join(each)) if each else None
        self._without: set[str] = set()

    def finds(self, text: str) -> bool:
        if self._any is None or text in self._without:
            return False
        if self._any.search(flat(text)):
            return True
        if len(self._without) >= self.AT_MOST:
            self._without.clear()
        self._without.add(text)
        return False


def strings(value: Any) -> list[str]:
    """Every text anywhere inside JSON."""
    if isinstance(value, str):
        return [value]
    found, waiting = [], [value]
    while waiting:
        each = waiting.pop()
        inner = each.values() if isinstance(each, dict) else each
        if not isinstance(inner, list | ValuesView):
            continue
        for one in inner:
            if isinstance(one, str):
                found.append(one)
            elif isinstance(one, list | dict):
                waiting.append(one)
    return found


def without(value: Any, patterns: Iterable[re.Pattern[str]]) -> Any:
    """The same text or JSON with … in place of each."""
    if isinstance(value, str):
        return _text_without(value, list(patterns))
    if isinstance(value, dict):
        return {key: without(each, patterns) for key, each in value.items()}
    if isinstance(value, list):
        return [without(each, patterns) for each in value]
    return value


def _text_without(text: str, patterns: list[re.Pattern[str]]) -> str:
    text = unicodedata.normalize("NFC", text)
    low = flat(text)
    spans = sorted(match.span() for each in patterns for match in each.finditer(low))
    kept, at = [], 0
    for start, end in spans:
        if start >= at:
            kept += [text[at:start], GONE]
        elif end <= at:
            continue
        at = max(at, end)
    return "".join([*kept, text[at:]]) if spans else text


def small(term: str, text: str, found: re.Pattern[str]) -> bool:
    """Whether the first place begins in small letters and the name does not, as a word would."""
    text = unicodedata.normalize("NFC", text)
    match = found.search(flat(text))
    return match is not None and term[:1].isupper() and text[match.start()].islower()


def around(text: str, found: re.Pattern[str], reach: int = 40) -> str:
    """The words round the first place, for the teacher to judge by."""
    text = unicodedata.normalize("NFC", text)
    match = found.search(flat(text))
    if match is None:
        return ""
    start, end = max(0, match.start() - reach), match.end() + reach
    return f"{'…' if start else ''}{text[start:end]}{'…' if end < len(text) else ''}"
