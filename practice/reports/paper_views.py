"""Reports on paper: one as it stands, and an edition as it was given."""

from __future__ import annotations

from collections.abc import Callable

from django.http import HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET

from practice.reports import editions
from practice.reports.guards import own_given
from practice.reports.render import ReportTooLong, report_pdf
from practice.reports.views import on_the_table
from studio.web.http import StudioRequest
from studio.web.pdf import PrintingMissing, pdf_answer


@require_GET
def pdf(request: StudioRequest, term_id: int, student_id: int) -> HttpResponse:
    """The latest edition; a draft says on its face that it is one."""
    table = on_the_table(request, term_id, student_id)
    data = editions.shown(table.latest, table.figures, table.before)
    return printed(request, f"{data.student} {data.term}", lambda: report_pdf(data))


@require_GET
def edition_pdf(
    request: StudioRequest, term_id: int, student_id: int, edition: int
) -> HttpResponse:
    data = editions.as_given(own_given(request, term_id, student_id, edition))
    name = _("{name} {term} edition {number}").format(
        name=data.student, term=data.term, number=edition
    )
    return printed(request, name, lambda: report_pdf(data))


def printed(
    request: StudioRequest, name: str, make: Callable[[], bytes], section: str = "reports"
) -> HttpResponse:
    """The PDF that is made, or the page that says why there is none."""
    try:
        return pdf_answer(make(), name)
    except (PrintingMissing, ReportTooLong) as trouble:
        status = 503 if isinstance(trouble, PrintingMissing) else 422
        context = {"sentence": str(trouble), "section": section}
        return render(request, "reports/not_printed.html", context, status=status)
