"""The programme and the thanks on paper, with first names only."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from practice.recitals.models import Programme
from practice.recitals.order import interval_at, names_of, performances_of, who
from practice.recitals.thanking import Thanked
from practice.sheets.words import on_paper
from studio.web.pdf import press

STYLES = ("recital_print.css",)
# Classes of recital_print.css, the largest first, and how many pieces may fit one page: a fit that
# cannot hold is not tried. The last one may run on to further pages.
FITS = (
    *(("airy", 12), ("usual", 13), ("close", 16), ("inline", 20), ("snug", 23), ("dense", 31)),
    ("long", 0),
)


@dataclass(frozen=True)
class Line:
    """A piece as the programme prints it."""

    title: str
    composer: str
    who: str


def programme_pdf(programme: Programme) -> bytes:
    """One page where all fits at a size that is read easily. PrintingMissing without Pango."""
    rows = performances_of(programme)
    names = names_of(rows)
    lines = [
        Line(each.work.short_title, each.work.told_composer, who(each, names)) for each in rows
    ]
    after = interval_at(programme, len(rows))
    parts = [lines[:after], lines[after:]] if after else [lines]
    with press() as ready:
        for fit, most in FITS:
            if most and len(lines) > most:
                continue
            html = _html("recitals/programme_print.html", programme, parts=parts, fit=fit)
            document = ready.lay_out(html, STYLES, {})
            if len(document.pages) == 1:
                break
        return ready.write(document)


def thanks_pdf(programme: Programme, pages: Sequence[Thanked]) -> bytes:
    """A page a player. PrintingMissing without Pango."""
    with press() as ready:
        html = _html("recitals/thanks_print.html", programme, pages=pages)
        return ready.write(ready.lay_out(html, STYLES, {}))


def _html(template: str, programme: Programme, **more: object) -> str:
    studio = programme.recital.studio
    context = {"programme": programme, "recital": programme.recital, "studio": studio, **more}
    return on_paper(template, studio.locale, context)
