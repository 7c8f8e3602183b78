"""The studio's year as a page and on paper."""

from __future__ import annotations

from typing import Any

from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from practice.figures.years import (
    FIRST_YEAR,
    LAST_YEAR,
    StudioYear,
    calendar_year,
    school_year,
    school_year_of,
)
from practice.reports.paper_views import printed
from practice.reports.render import STYLES
from practice.reports.studio_year import year_figures
from practice.reports.year_pictures import year_pictures
from practice.sheets.words import on_paper
from studio import clock
from studio.web.http import StudioRequest
from studio.web.pdf import pdf

KINDS = {"school": school_year, "calendar": calendar_year}


@require_GET
def year(request: StudioRequest, kind: str = "", first: int = 0) -> HttpResponse:
    """The school year of today until another is chosen."""
    chosen = _chosen(kind, first) if kind else school_year_of(clock.today(request.studio))
    return render(request, "reports/year.html", _context(request, chosen))


@require_GET
def year_pdf(request: StudioRequest, kind: str, first: int) -> HttpResponse:
    chosen = _chosen(kind, first)
    context = _context(request, chosen)
    html = on_paper("reports/year_print.html", request.studio.locale, context)
    name = f"{request.studio.name} {chosen.name}"
    return printed(request, name, lambda: pdf(html, STYLES, context["pictures"].named))


def _chosen(kind: str, first: int) -> StudioYear:
    if kind not in KINDS or not FIRST_YEAR <= first <= LAST_YEAR:
        # no words: for programmers
        raise Http404("There is no such year.")
    return KINDS[kind](first)


def _context(request: StudioRequest, chosen: StudioYear) -> dict[str, Any]:
    today = clock.today(request.studio)
    figures = year_figures(request.studio, chosen, today)
    kind = "school" if chosen.school else "calendar"
    return {
        "figures": figures,
        "year": chosen,
        "kind": kind,
        "pictures": year_pictures(figures),
        "rows": [
            (taught, month)
            for taught, month in zip(figures.taught, figures.months, strict=True)
            if taught.starts <= figures.until
        ],
        "before": KINDS[kind](chosen.year - 1),
        "after": KINDS[kind](chosen.year + 1) if chosen.last < today else None,
        "other": calendar_year(figures.until.year) if chosen.school else school_year(chosen.year),
        "other_kind": "calendar" if chosen.school else "school",
        "studio": request.studio,
        "section": "reports",
    }
