"""What a scale book holds: how it is played, how large, and what its circle says."""

from __future__ import annotations

import json
import re

import pytest
from django.conf import settings

from practice.figures.key_circle import KeyHeld, Known
from practice.music.bowing_list import BOWINGS, bowing
from practice.music.bowings import Pattern
from practice.music.how import How
from practice.music.keys import ALL_KEYS
from practice.scalebook.book import MOST_MM, STAVES_MM, book_of
from practice.scalebook.paper import circle_words
from practice.scalebook.wish import BookData, InHand, Wish
from practice.sheets.bowed import Bowed

HELD = (
    KeyHeld(1, False, "G", Known.NOW),
    KeyHeld(0, False, "C", Known.LEARNT),
)


def wish(*keys: str, bowings: tuple[Bowed, ...] = (), octaves: int = 1) -> Wish:
    return Wish(keys, octaves, "melodic", bowings, ())


def data(wanted: Wish, *, shared: bool = False, now: InHand | None = None) -> BookData:
    return BookData("Imani", shared, "Marisol", "a4", "25 November 2026", wanted, HELD, now)


def test_the_circle_of_a_student_says_what_was_learnt() -> None:
    made = data(wish("D major"))
    words = circle_words(made, book_of(made))
    assert words == "The circle of fifths: now G major; learnt C major."


def test_the_circle_of_the_studio_says_what_is_in_the_book() -> None:
    made = data(wish("D major", "B minor"), shared=True)
    words = circle_words(made, book_of(made))
    assert words == "The circle of fifths: in this book D major, b minor."


def test_the_students_own_scale_is_played_as_the_sheet_says() -> None:
    now = InHand("G major", "major", 1, How(fingers="3.4"))
    pages = book_of(data(wish("G major", "A major"), now=now)).pages
    assert "f=3.4" in pages[0].picture.src
    assert "f=3.4" not in pages[1].picture.src
    other = book_of(data(wish("G major", octaves=2), now=now)).pages
    assert "f=3.4" not in other[0].picture.src


def test_a_long_exercise_is_drawn_smaller_to_fit_its_page() -> None:
    long, short = (
        book_of(data(wish("C sharp major", bowings=(Bowed(bowing(slug)),), octaves=octaves)))
        for slug, octaves in (("tremolo", 3), ("slur4", 1))
    )
    assert "staff=13&" in short.pages[1].picture.src
    assert "staff=13&" not in long.pages[1].picture.src


@pytest.mark.parametrize("pattern", BOWINGS, ids=lambda pattern: pattern.slug)
def test_every_bowing_of_the_list_fits_a_page_in_three_octaves(pattern: Pattern) -> None:
    found = book_of(data(wish("C sharp minor", bowings=(Bowed(pattern),), octaves=3)))
    assert found.missing == ()
    assert {page.picture.height_mm <= MOST_MM for page in found.pages} == {True}


def test_every_key_has_its_pages() -> None:
    keys = tuple(key.name for key in ALL_KEYS)
    found = book_of(data(wish(*keys, octaves=3)))
    assert found.missing == ()
    assert found.keys == keys


def test_what_a_book_is_made_from_comes_back_from_json() -> None:
    own = Bowed(bowing("slur4"), piece="Minuet", bars="bar 3")
    now = InHand("G major", "major", 1, How(string="D", over=0))
    made = data(wish("G major", bowings=(own,)), now=now)
    assert BookData.from_json(json.loads(json.dumps(made.to_json()))) == made


def test_staves_are_tried_from_the_largest() -> None:
    assert sorted(STAVES_MM, reverse=True) == list(STAVES_MM)


def test_every_colour_of_the_book_is_dark_on_white_or_a_thin_edge() -> None:
    """Printed without colour nothing is lost: W3C's relative luminance, contrast 4.5 and more."""
    css = (settings.BASE_DIR / "static/css/scale_book.css").read_text(encoding="utf-8")
    svg = (settings.BASE_DIR / "templates/scalebook/circle.svg").read_text(encoding="utf-8")
    colours = set(re.findall(r"#([0-9A-F]{6})", css + svg)) - {"FFFFFF"}
    assert len(colours) >= 4
    for colour in colours:
        parts = [int(colour[at : at + 2], 16) / 255 for at in (0, 2, 4)]
        line = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
        luminance = 0.2126 * line[0] + 0.7152 * line[1] + 0.0722 * line[2]
        assert 1.05 / (luminance + 0.05) >= 4.5, colour
