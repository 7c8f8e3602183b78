"""A scale book as PDF."""

from __future__ import annotations

from django.template.loader import render_to_string

from practice.figures.key_circle import Known
from practice.reports.pictures import FONTS
from practice.scalebook.book import Book, book_of
from practice.scalebook.wish import BookData
from practice.sheets.words import on_paper
from studio.web.pdf import pdf

STYLES = ("scale_book.css",)
CIRCLE_MM = 112.0


class NoPage(ValueError):
    """Nothing that was wished for can be played; the text says why."""


def book_pdf(data: BookData) -> bytes:
    """Raises NoPage, and PrintingMissing without Pango."""
    book = book_of(data)
    if not book.pages:
        raise NoPage("; ".join(book.missing))
    context = {
        "data": data,
        "book": book,
        "circle_words": circle_words(data, book),
        "circle_height": round(CIRCLE_MM * book.circle.height / book.circle.width, 2),
    }
    drawn = {"chart": book.circle, "fonts": FONTS}
    pictures = book.pictures | {"circle": render_to_string("scalebook/circle.svg", drawn).strip()}
    return pdf(on_paper("scalebook/book.html", "en", context), STYLES, pictures)


def circle_words(data: BookData, book: Book) -> str:
    """What the circle shows, in words: "now G major; learnt C major", "in this book G major"."""
    found = []
    for known in (Known.NOW, Known.LEARNT):
        keys = [
            f"{peg.sign} {'minor' if peg.minor else 'major'}"
            for peg in book.circle.pegs
            if peg.known == known
        ]
        if keys:
            found.append(f"{'in this book' if data.shared else known.value} {', '.join(keys)}")
    return f"The circle of fifths: {'; '.join(found) or 'every key still to come'}."
