"""A scale book: one idea a page, each an engraving with a heading; an overview in front."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from practice.engraving.engrave import EngravingFailed, Layout
from practice.engraving.pictures import Picture, picture
from practice.engraving.spec import Spec
from practice.figures.circle_chart import CircleChart, circle_chart
from practice.music.bowing_list import bowing
from practice.music.errors import DoesNotFit, MusicError
from practice.music.exercise import pour
from practice.music.how import How, run_of
from practice.music.keys import MAJOR, Key, parse_key
from practice.reports.keys import sign_of
from practice.scalebook.wish import BookData
from practice.sheets.bowed import Bowed

WIDE_MM = 253.0  # a page lying on its side, A4 or Letter
STAVES_MM = (13.0, 11.5, 10.0, 9.0, 8.0, 7.0)  # the largest whose lines fit a page
MOST_MM = 120.0
# Kind, and its heading in the book.
ARPEGGIOS = {
    "tonic": gettext_noop("Arpeggio, on the tonic"),
    "relative": gettext_noop("Arpeggio, of the relative key"),
    "parallel": gettext_noop("Arpeggio, of the parallel key"),
    "dominant7": gettext_noop("Arpeggio, dominant seventh"),
    "diminished7": gettext_noop("Arpeggio, diminished seventh"),
}
ARPEGGIO_BOWINGS = {"dominant7": "slur4", "diminished7": "slur4"}  # as many as its notes


@dataclass(frozen=True)
class Page:
    key: str
    heading: str
    words: str
    picture: Picture


@dataclass(frozen=True)
class Book:
    """`missing` are sentences on pages that the violin cannot play."""

    pages: tuple[Page, ...]
    missing: tuple[str, ...]
    circle: CircleChart

    @property
    def keys(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(page.key for page in self.pages))

    @property
    def pictures(self) -> dict[str, str]:
        return {f"page-{n}": page.picture.svg for n, page in enumerate(self.pages, start=1)}


def book_of(data: BookData) -> Book:
    pages: list[Page] = []
    missing: list[str] = []
    for name in data.wish.keys:
        key = parse_key(name)
        for heading, words, spec in _ideas(key, data):
            try:
                pages.append(Page(key.told, heading, words, _fitting(spec)))
            except (MusicError, EngravingFailed) as error:
                missing.append(f"{key.told}, {heading}: {error}")
    return Book(tuple(pages), tuple(missing), circle_chart(data.marked, sign_of))


def _fitting(spec: Spec) -> Picture:
    """As large as a page lets it be. Raises MusicError."""
    for staff in STAVES_MM:
        made = picture(spec, Layout(staff, WIDE_MM))
        if made.height_mm <= MOST_MM:
            return made
    raise DoesNotFit(_("it is longer than a page."))


def _ideas(key: Key, data: BookData) -> Iterator[tuple[str, str, Spec]]:
    wish = data.wish
    form = MAJOR if key.mode == MAJOR else wish.minor_form
    how = data.how(key.name, form)
    words = " ".join((_("Fingers above, strings below."), *(f"{each}." for each in how.words)))
    yield _("The scale"), words, Spec("scale", key, form, wish.octaves, how=how, whole=True)
    for bowed in wish.bowings:
        spec = Spec("bowing", key, form, wish.octaves, bowed.pattern, how=how)
        heading = _("Bowing: {name}").format(name=bowed.pattern.name)
        yield heading, _bowing_words(bowed, key, form, wish.octaves, how), spec
    for kind, heading in ARPEGGIOS.items():
        if kind in wish.arpeggios:
            slurred = bowing(ARPEGGIO_BOWINGS.get(kind, "slur3"))
            spec = Spec("bowed-arpeggio", key, kind, wish.octaves, slurred, how=how.for_arpeggio)
            yield _(heading), f"{capfirst(slurred.name)}.", spec


def _bowing_words(bowed: Bowed, key: Key, form: str, octaves: int, how: How) -> str:
    borrowed = _("Borrowed from {piece}, {bars}.").format(piece=bowed.piece, bars=bowed.bars)
    words = [borrowed] if bowed.piece else []
    try:
        exercise = pour(bowed.pattern, run_of(key, form, octaves, how))
    except MusicError:
        return " ".join(words)
    return " ".join(filter(None, (*words, exercise.bow_remark, exercise.completion)))
