"""Reports as HTML and as PDF: one page each where the words allow it, two at most."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from django.template.loader import render_to_string
from django.utils import translation

from practice.reports.data import PieceFinished, ReportData
from practice.reports.pictures import Pictures, pictures_of
from practice.sheets.words import without_pictures
from studio.web.pdf import Press, press

if TYPE_CHECKING:
    from weasyprint import Document

STYLES = ("report_print.css",)
MOST_PIECES = 6
PEGS_MM = 70.0  # the column of facts
LONG_NAME, LONGER_NAME = 16, 34


@dataclass(frozen=True)
class Fit:
    """A class of report_print.css, how high the bars may be, and the pages it may fill."""

    name: str
    bars_mm: float
    pages: int = 1
    long: bool = False  # facts below the words, which stand in two columns
    letters: int = 0  # about how many fit on A4; saves laying out what cannot


FITS = (
    Fit("usual", 55, letters=420),
    Fit("close", 50, letters=600),
    Fit("dense", 44, letters=900),
    Fit("tight", 40, letters=1250),
    Fit("two-large", 55, pages=2, long=True, letters=3200),
    Fit("two", 55, pages=2, long=True, letters=5500),
    Fit("two-close", 55, pages=2, long=True, letters=8000),
    Fit("two-dense", 50, pages=2, long=True),
)
MOST_LETTERS = 7000  # about, on two pages


class ReportTooLong(ValueError):
    """More words than two pages can hold at a size that can still be read."""

    def __init__(self, data: ReportData) -> None:
        super().__init__(
            f"The report of {data.student} does not fit on two pages: its words have"
            f" {len(data.words)} characters, and about {MOST_LETTERS} fit. Please shorten them."
        )


@dataclass(frozen=True)
class Page:
    """One report as its template asks for it."""

    data: ReportData
    fit: Fit
    number: int = 0

    @cached_property
    def pictures(self) -> Pictures:
        return pictures_of(self.data, self.fit.bars_mm)

    @property
    def named(self) -> dict[str, str]:
        """The charts under the names the template gives them."""
        charts = {
            "lessons": self.pictures.lessons,
            "minutes": self.pictures.minutes,
            "circle": self.pictures.circle,
            "tempos": self.pictures.tempos,
        }
        found = {f"r{self.number}-{name}": chart.svg for name, chart in charts.items() if chart}
        legend = enumerate(self.pictures.legend, 1)
        return {**found, **{f"fill-{number}": svg for number, (_, svg) in legend}}

    @property
    def lessons_width(self) -> float:
        return PEGS_MM if not self.fit.long else 56.0

    @property
    def lessons_height(self) -> float:
        pegs = self.pictures.lessons
        return round(self.lessons_width * pegs.height / pegs.width, 2) if pegs else 0

    @property
    def name_length(self) -> str:
        letters = len(self.data.student)
        return "longer" if letters > LONGER_NAME else "long" if letters > LONG_NAME else ""

    @property
    def finished(self) -> Sequence[PieceFinished]:
        return self.data.finished[:MOST_PIECES]

    @property
    def more_finished(self) -> int:
        return max(0, len(self.data.finished) - MOST_PIECES)

    @property
    def more_tempos(self) -> int:
        return len(self.data.tempos) - len(self.data.drawn)

    @property
    def notice(self) -> str:
        """What a reader must know of the paper: that it is a draft, or corrects an older one."""
        data = self.data
        if data.given is None:
            return "Draft, not given yet."
        if data.replaces is not None:
            return (
                f"Edition {data.edition}, {_day(data.given)}."
                f" It corrects the report of {_day(data.replaces)}."
            )
        return ""


def report_pdf(data: ReportData) -> bytes:
    """Tagged PDF. Raises ReportTooLong, and PrintingMissing without Pango."""
    return reports_pdf([data])


def reports_pdf(reports: Sequence[ReportData]) -> bytes:
    """One PDF of all in order. Raises ReportTooLong for the first that does not fit."""
    if not reports:
        raise ValueError("There is no report to print.")
    with press() as ready:
        steps = [_first_step(data) for data in reports]
        document = _lay_out(ready, _pages(reports, steps))
        over = _overfull(document, [FITS[step] for step in steps])
        for number in over:
            steps[number], document = _fitting(ready, reports[number], steps[number] + 1)
        if over and len(reports) > 1:
            document = _lay_out(ready, _pages(reports, steps))
        return ready.write(document)


def _pages(reports: Sequence[ReportData], steps: Sequence[int]) -> list[Page]:
    return [
        Page(data, FITS[step], number)
        for number, (data, step) in enumerate(zip(reports, steps, strict=True))
    ]


def _first_step(data: ReportData) -> int:
    letters = len(data.words) + 40 * len(data.paragraphs)
    if data.paper != "A4":  # Letter is 18 mm lower
        letters = round(letters / 0.78)
    return next(step for step, fit in enumerate(FITS) if letters <= (fit.letters or letters))


def _fitting(ready: Press, data: ReportData, step: int) -> tuple[int, Document]:
    """The first step from here on that holds, and what it looks like. Raises ReportTooLong."""
    while step < len(FITS):
        document = _lay_out(ready, [Page(data, FITS[step])])
        if not _overfull(document, [FITS[step]]):
            return step, document
        step += 1
    raise ReportTooLong(data)


def _overfull(document: Document, fits: Sequence[Fit]) -> list[int]:
    """Numbers of the reports that fill more pages than they may."""
    page_of: Mapping[str, int] = {
        anchor: number for number, page in enumerate(document.pages) for anchor in page.anchors
    }
    return [
        number
        for number, fit in enumerate(fits)
        if page_of[f"r{number}-end"] - page_of[f"r{number}"] >= fit.pages
    ]


def _lay_out(ready: Press, pages: list[Page]) -> Document:
    pictures = {name: svg for page in pages for name, svg in page.named.items()}
    return ready.lay_out(_html(pages), STYLES, pictures)


def _html(pages: list[Page]) -> str:
    first = pages[0].data
    title = f"{first.student}’s term, {first.term}"
    if len(pages) > 1:
        title = f"{len(pages)} reports, {first.term}"
    context = {"pages": pages, "title": title, "author": first.teacher, "language": first.language}
    with translation.override(first.language):
        return without_pictures(render_to_string("reports/print.html", context))


def _day(day: object) -> str:
    return f"{day:%-d %B %Y}"
