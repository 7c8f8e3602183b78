"""The assignment sheet as HTML and as PDF: always two sides each, front and back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from django.template.loader import render_to_string
from django.utils import translation

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
from practice.sheets.words import without_pictures
from studio.web.pdf import Press, press

if TYPE_CHECKING:
    from weasyprint import Document

STYLES = ("sheet.css",)


class SheetTooFull(ValueError):
    """More words than two sides can hold at a size that can still be read."""

    def __init__(self, data: SheetData) -> None:
        super().__init__(
            f"The sheet of {data.student} does not fit on two sides: "
            f"the longest text on it has {_longest(data)} letters. Please shorten it."
        )


def sheet_html(data: SheetData, fit: Fit | None = None) -> str:
    """The sheet as the HTML that is printed; its pictures have `studio:` addresses."""
    data = with_room(data)
    return _html([SheetView(data, fit or first_fit(data))])


def sheet_pdf(data: SheetData) -> bytes:
    """Both sides as tagged PDF. Raises SheetTooFull, and PrintingMissing without Pango."""
    return sheets_pdf([data])


def sheets_pdf(sheets: Sequence[SheetData]) -> bytes:
    """One PDF of all sheets in order, two pages each, ready for two-sided printing."""
    if not sheets:
        raise ValueError("There is no sheet to print.")
    sheets = [with_room(data) for data in sheets]
    with press() as ready:
        fits = [first_fit(data) for data in sheets]
        document = _lay_out(ready, sheets, fits)
        over = _overfull(document, len(sheets))
        for number, sides in over.items():
            sheets[number], fits[number], document = _fitting(
                ready, sheets[number], fits[number], sides
            )
        if over and len(sheets) > 1:
            document = _lay_out(ready, sheets, fits)
        return ready.write(document)


def _html(views: list[SheetView]) -> str:
    first = views[0].data
    title = f"{first.student}’s week, {first.short_span}"
    if len(views) > 1:
        title = f"{len(views)} assignment sheets, {first.short_span}"
    with translation.override(first.language):
        html = render_to_string(
            "sheets/sheets.html",
            {
                "sheets": views,
                "title": title,
                "author": first.teacher,
                "language": first.language,
            },
        )
    return without_pictures(html)


def _lay_out(ready: Press, sheets: Sequence[SheetData], fits: Sequence[Fit]) -> Document:
    views = [
        SheetView(data, fit, number)
        for number, (data, fit) in enumerate(zip(sheets, fits, strict=True))
    ]
    pictures = {name: svg for view in views for name, svg in view.pictures.items()}
    return ready.lay_out(_html(views), STYLES, pictures)


def _overfull(document: Document, sheets: int) -> dict[int, tuple[bool, bool]]:
    """Which sheets run over: number -> (front runs over, back runs over)."""
    page_of = {
        anchor: number for number, page in enumerate(document.pages) for anchor in page.anchors
    }
    over = {}
    for number in range(sheets):
        sides = tuple(
            page_of[f"s{number}-{side}"] != page_of[f"s{number}-{side}-end"]
            for side in ("front", "back")
        )
        if any(sides):
            over[number] = (sides[0], sides[1])
    return over


def _fitting(
    ready: Press, data: SheetData, fit: Fit, over: tuple[bool, bool]
) -> tuple[SheetData, Fit, Document]:
    """The loosest fit from here on in which both sides hold, and the sheet alone laid out in it.

    Second exercises of spots go before it gets too small for them. Raises SheetTooFull.
    """
    while True:
        fit = replace(fit, front_step=fit.front_step + over[0], back_step=fit.back_step + over[1])
        if has_easier(data) and (fit.back_step >= len(BACKS) or fit.back.k < LEAST_WITH_EASIER):
            data = one_easier_less(data)
            fit = replace(fit, back_step=first_fit(data).back_step)
        if fit.front_step >= len(FRONTS) or fit.back_step >= len(BACKS):
            raise SheetTooFull(data)
        document = _lay_out(ready, [data], [fit])
        over = _overfull(document, 1).get(0, (False, False))
        if not any(over):
            return data, fit, document


def _longest(data: SheetData) -> int:
    texts = [data.listen_for, data.student]
    texts += [spot.instruction for piece in data.pieces for spot in piece.spots]
    texts += [card.text for card in (data.favourite, data.explore, *data.also) if card]
    return max(map(len, texts))
