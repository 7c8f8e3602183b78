"""The assignment sheet as HTML and as PDF: always two sides, front and back."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from django.utils.translation import gettext as _

from practice.sheets.data import SheetData
from practice.sheets.fit import (
    BACKS,
    FRONTS,
    LEAST_WITH_EASIER,
    Fit,
    first_fit,
    has_easier,
    one_easier_less,
    with_room,
)
from practice.sheets.side import SheetView
from practice.sheets.words import on_paper
from studio.web.pdf import Press, press

if TYPE_CHECKING:
    from weasyprint import Document

STYLES = ("sheet.css",)


class SheetTooFull(ValueError):
    """More words than two sides can hold at a size that can still be read."""

    def __init__(self, data: SheetData) -> None:
        sentence = _(
            "The sheet of {name} does not fit on two sides: "
            "the longest text on it has {n} letters. Please shorten it."
        )
        super().__init__(sentence.format(name=data.student, n=_longest(data)))


def sheet_html(data: SheetData) -> str:
    """The sheet as the HTML that is printed; its pictures have `studio:` addresses."""
    data = with_room(data)
    return _html(SheetView(data, first_fit(data)))


def sheet_pdf(data: SheetData) -> bytes:
    """Both sides as tagged PDF. Raises SheetTooFull, and PrintingMissing without Pango."""
    data = with_room(data)
    with press() as ready:
        fit = first_fit(data)
        document = _lay_out(ready, data, fit)
        over = _overfull(document)
        if any(over):
            document = _fitting(ready, data, fit, over)
        return ready.write(document)


def _html(view: SheetView) -> str:
    data = view.data
    context = {
        "sheet": view,
        "data": data,
        "author": data.teacher,
    }
    return on_paper("sheets/sheets.html", data.language, context)


def _lay_out(ready: Press, data: SheetData, fit: Fit) -> Document:
    view = SheetView(data, fit)
    return ready.lay_out(_html(view), STYLES, view.pictures)


def _overfull(document: Document) -> tuple[bool, bool]:
    """Whether the front runs over, and the back."""
    page_of = {
        anchor: number for number, page in enumerate(document.pages) for anchor in page.anchors
    }
    front, back = (page_of[side] != page_of[f"{side}-end"] for side in ("front", "back"))
    return front, back


def _fitting(ready: Press, data: SheetData, fit: Fit, over: tuple[bool, bool]) -> Document:
    """Laid out in the loosest fit from here on in which both sides hold.

    Second exercises of spots go before it gets too small for them. Raises SheetTooFull.
    """
    while True:
        fit = replace(fit, front_step=fit.front_step + over[0], back_step=fit.back_step + over[1])
        if has_easier(data) and (fit.back_step >= len(BACKS) or fit.back.k < LEAST_WITH_EASIER):
            data = one_easier_less(data)
            fit = replace(fit, back_step=first_fit(data).back_step)
        if fit.front_step >= len(FRONTS) or fit.back_step >= len(BACKS):
            raise SheetTooFull(data)
        document = _lay_out(ready, data, fit)
        over = _overfull(document)
        if not any(over):
            return document


def _longest(data: SheetData) -> int:
    texts = [data.listen_for, data.student]
    texts += [spot.instruction for piece in data.pieces for spot in piece.spots]
    texts += [card.text for card in (data.favourite, data.explore, *data.also) if card]
    return max(map(len, texts))
