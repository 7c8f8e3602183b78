"""A scale book: one idea a page, each an engraving with a heading; an overview in front."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from practice.engraving.engrave import EngravingFailed, Layout
from practice.engraving.pictures import Picture, picture
from practice.engraving.spec import Spec
from practice.figures.circle_chart import CircleChart, circle_chart
from practice.figures.key_circle import KeyHeld, Known
from practice.music.bowing_list import bowing
from practice.music.bowings import Pattern
from practice.music.errors import MusicError
from practice.music.exercise import pour
from practice.music.keys import MAJOR, MINOR, Key, parse_key
from practice.music.scales import scale as scale_run
from practice.repertoire.models import ScaleInHand
from studio.people.models import Student

MOST_PAGES = 80
WIDE = Layout(9.5, 253.0)  # a page lying on its side, A4 or Letter
ARPEGGIOS = (
    ("tonic", "on the tonic"),
    ("relative", "of the relative key"),
    ("parallel", "of the parallel key"),
    ("dominant7", "dominant seventh"),
    ("diminished7", "diminished seventh"),
)
ARPEGGIO_BOWING = "slur3"


@dataclass(frozen=True)
class Wish:
    """What is to stand in the book."""

    keys: tuple[str, ...]
    octaves: int
    minor_form: str
    bowings: tuple[Pattern, ...]
    arpeggios: tuple[str, ...]

    @property
    def pages(self) -> int:
        return len(self.keys) * (1 + len(self.bowings) + len(self.arpeggios))


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
    def pictures(self) -> dict[str, str]:
        return {f"page-{n}": page.picture.svg for n, page in enumerate(self.pages, start=1)}


def book_of(student: Student, wish: Wish) -> Book:
    pages: list[Page] = []
    missing: list[str] = []
    for name in wish.keys:
        key = parse_key(name)
        for heading, words, spec in _ideas(key, wish):
            try:
                pages.append(Page(key.name, heading, words, picture(spec, WIDE)))
            except (MusicError, EngravingFailed) as error:
                missing.append(f"{key.name}, {heading}: {error}")
    return Book(tuple(pages), tuple(missing), circle_chart(keys_held(student)))


def _ideas(key: Key, wish: Wish) -> Iterable[tuple[str, str, Spec]]:
    form = MAJOR if key.mode == MAJOR else wish.minor_form
    yield "The scale", "Fingers above, strings below.", Spec("scale", key, form, wish.octaves)
    for pattern in wish.bowings:
        spec = Spec("bowing", key, form, wish.octaves, pattern)
        yield f"Bowing: {pattern.name}", _bowing_words(pattern, key, form, wish.octaves), spec
    slurred = bowing(ARPEGGIO_BOWING)
    for kind, words in ARPEGGIOS:
        if kind in wish.arpeggios:
            spec = Spec("bowed-arpeggio", key, kind, wish.octaves, slurred)
            yield f"Arpeggio, {words}", "Three in a bow.", spec


def _bowing_words(pattern: Pattern, key: Key, form: str, octaves: int) -> str:
    try:
        exercise = pour(pattern, scale_run(key, form, octaves))
    except MusicError:
        return ""
    return " ".join(filter(None, (exercise.bow_remark, exercise.completion)))


def keys_held(student: Student) -> list[KeyHeld]:
    """For the circle: what is in hand now and what was before."""
    held = []
    for row in ScaleInHand.objects.filter(student=student):
        try:
            key = parse_key(row.key)
        except MusicError:
            continue
        known = Known.NOW if row.until is None else Known.LEARNT
        held.append(KeyHeld(key.signature, key.mode == MINOR, key.sign.split()[0], known))
    return held
