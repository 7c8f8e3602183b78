"""Searching names and titles as people type them: without case, without accents."""

from __future__ import annotations

import unicodedata

# Letters that are whole in their alphabet, so that Unicode takes no accent off them.
_WHOLE = str.maketrans({"ł": "l", "ø": "o", "đ": "d", "ı": "i", "æ": "ae", "œ": "oe", "þ": "th"})
LONGEST = 100


def folded(text: str) -> str:
    """ "Dvořák" -> "dvorak", "Łucja" -> "lucja"."""
    apart = unicodedata.normalize("NFKD", text.casefold())
    bare = "".join(letter for letter in apart if not unicodedata.combining(letter))
    return bare.translate(_WHOLE)


def typed_words(text: str | None) -> str:
    """What was typed into a search field, on one line and not endless."""
    return " ".join((text or "").replace("\x00", "").split())[:LONGEST]


def holds_all(words: str, *texts: str) -> bool:
    """Whether every word occurs in one of the texts; true without words."""
    ground = folded(" ".join(texts))
    return all(word in ground for word in folded(words).split())
