"""A scale book as PDF."""

from __future__ import annotations

from django.template.loader import render_to_string
from django.utils.html import format_html_join
from django.utils.translation import get_language
from django.utils.translation import gettext as _

from practice.figures.circle_chart import KeyPeg
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
    """In the language spoken now. Raises NoPage, and PrintingMissing without Pango."""
    book = book_of(data)
    if not book.pages:
        raise NoPage("; ".join(book.missing))
    context = {
        "data": data,
        "book": book,
        "keys": format_html_join(", ", '<span class="whole">{}</span>', ((k,) for k in book.keys)),
        "circle_words": circle_words(data, book),
        "circle_height": round(CIRCLE_MM * book.circle.height / book.circle.width, 2),
    }
    drawn = {"chart": book.circle, "fonts": FONTS}
    pictures = book.pictures | {"circle": render_to_string("scalebook/circle.svg", drawn).strip()}
    return pdf(on_paper("scalebook/book.html", get_language() or "en", context), STYLES, pictures)


def circle_words(data: BookData, book: Book) -> str:
    """What the circle shows, in words: "now G major; learnt C major", "in this book G major"."""
    sentences = {Known.NOW: _("now {keys}"), Known.LEARNT: _("learnt {keys}")}
    if data.shared:
        sentences = dict.fromkeys(sentences, _("in this book {keys}"))
    found = []
    for known, sentence in sentences.items():
        keys = [_name(peg) for peg in book.circle.pegs if peg.known == known]
        if keys:
            found.append(sentence.format(keys=", ".join(keys)))
    marked = "; ".join(found) or _("every key still to come")
    return _("The circle of fifths: {keys}.").format(keys=marked)


def _name(peg: KeyPeg) -> str:
    pattern = _("{tonic} minor") if peg.minor else _("{tonic} major")
    return pattern.format(tonic=peg.sign)
