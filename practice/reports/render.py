"""A report as HTML and as PDF: one page where the words allow it, two at most."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from django.utils.translation import gettext as _

from practice.reports.data import PieceFinished, ReportData
from practice.reports.pictures import Pictures, pictures_of
from practice.sheets.words import on_paper
from studio.language import naming
from studio.web.days import long_day
from studio.web.pdf import Press, press

if TYPE_CHECKING:
    from weasyprint import Document

STYLES = ("report_print.css",)
MOST_PIECES = 6
PEGS_MM = 70.0  # the column of facts


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
        words = _(
            "The report of {name} does not fit on two pages: its words have {letters} characters,"
            " and about {most} fit. Please shorten them."
        )
        letters = len(data.words)
        super().__init__(words.format(name=data.student, letters=letters, most=MOST_LETTERS))


@dataclass(frozen=True)
class Page:
    """A report as its template asks for it."""

    data: ReportData
    fit: Fit

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
        found = {f"report-{name}": chart.svg for name, chart in charts.items() if chart}
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
            return _("Draft, not given yet.")
        if data.replaces is not None:
            words = _("Edition {number}, {day}. It corrects the report of {earlier}.")
            return words.format(
                number=data.edition, day=long_day(data.given), earlier=long_day(data.replaces)
            )
        return ""


def report_pdf(data: ReportData) -> bytes:
    """Tagged PDF. Raises ReportTooLong, and PrintingMissing without Pango."""
    with press() as ready:
        return ready.write(_fitting(ready, data, _first_step(data)))


def _first_step(data: ReportData) -> int:
    letters = len(data.words) + 40 * len(data.paragraphs)
    if data.paper != "A4":  # Letter is 18 mm lower
        letters = round(letters / 0.78)
    return next(step for step, fit in enumerate(FITS) if letters <= (fit.letters or letters))


def _fitting(ready: Press, data: ReportData, step: int) -> Document:
    """Laid out at the first step from here on that holds. Raises ReportTooLong."""
    for fit in FITS[step:]:
        page = Page(data, fit)
        document = ready.lay_out(_html(page), STYLES, page.named)
        if len(document.pages) <= fit.pages:
            return document
    raise ReportTooLong(data)


def _html(page: Page) -> str:
    """In the language and the names of notes it was given in; the charts are drawn here too."""
    data = page.data
    context = {"page": page, "data": data}
    with naming(data.note_names):
        return on_paper("reports/print.html", data.language, context)
