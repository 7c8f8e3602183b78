"""Sentences of the pure packages in the language that is spoken now; standard library alone.

Pure code marks its words as any other does (`gettext("…")`). Who speaks which language is set from
outside: `install` takes an object with the four functions of the `gettext` module (Django's
translation, when the program runs), and `note_names` follows the studio's choice for as long as a
`naming` context lasts. With nothing installed all is English and notes are letters.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from gettext import NullTranslations
from typing import Protocol


class Catalog(Protocol):
    def gettext(self, message: str) -> str: ...
    def ngettext(self, singular: str, plural: str, number: int) -> str: ...
    def pgettext(self, context: str, message: str) -> str: ...
    def npgettext(self, context: str, singular: str, plural: str, number: int) -> str: ...


LETTERS, GERMAN, SYLLABLES = "letters", "german", "syllables"
_catalog: Catalog = NullTranslations()
_names: ContextVar[str] = ContextVar("note names", default="")  # no words: a name


def install(catalog: Catalog) -> None:
    """Where all sentences are looked up from now on."""
    global _catalog
    _catalog = catalog


def gettext(message: str) -> str:
    return _catalog.gettext(message)


def ngettext(singular: str, plural: str, number: int) -> str:
    return _catalog.ngettext(singular, plural, number)


def pgettext(context: str, message: str) -> str:
    return _catalog.pgettext(context, message)


def npgettext(context: str, singular: str, plural: str, number: int) -> str:
    return _catalog.npgettext(context, singular, plural, number)


def gettext_noop(message: str) -> str:
    """Marks a sentence that is looked up later, where it is shown."""
    return message


def inside(label: str) -> str:
    """A label as it stands inside a sentence: with a small letter where the language does so."""
    small = pgettext("labels inside a sentence: small or unchanged", "small") == "small"
    if not small or label[1:2].isupper():  # "US Letter"
        return label
    return label[:1].lower() + label[1:]


def note_names() -> str:
    """LETTERS (B, B flat), GERMAN (H, B) or SYLLABLES (si, si flat): chosen, or the language's."""
    return _names.get() or pgettext("note names: letters, german or syllables", "letters")


@contextmanager
def naming(names: str) -> Iterator[None]:
    """Notes are called so within; an empty word leaves it to the language."""
    token = _names.set(names)
    try:
        yield
    finally:
        _names.reset(token)
