"""Reports on paper: one as it stands, and an edition as it was given."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render
from django.utils.http import content_disposition_header
from django.utils.text import slugify
from django.views.decorators.http import require_GET

from practice.reports import editions
from practice.reports.data import ReportData
from practice.reports.guards import own_given
from practice.reports.render import ReportTooLong, report_pdf
from practice.reports.views import on_the_table
from studio.web.http import StudioRequest
from studio.web.pdf import PrintingMissing


@require_GET
def pdf(request: StudioRequest, term_id: int, student_id: int) -> HttpResponse:
    """The latest edition; a draft says on its face that it is one."""
    table = on_the_table(request, term_id, student_id)
    data = editions.shown(table.latest, table.figures, table.before)
    return _printed(request, data, f"{data.student} {data.term}")


@require_GET
def edition_pdf(
    request: StudioRequest, term_id: int, student_id: int, edition: int
) -> HttpResponse:
    data = editions.as_given(own_given(request, term_id, student_id, edition))
    return _printed(request, data, f"{data.student} {data.term} edition {edition}")


def _printed(request: StudioRequest, data: ReportData, name: str) -> HttpResponse:
    try:
        body = report_pdf(data)
    except (PrintingMissing, ReportTooLong) as trouble:
        return _not_printed(request, trouble)
    file = f"{slugify(name, allow_unicode=True) or 'report'}.pdf"
    disposition = content_disposition_header(as_attachment=False, filename=file) or "inline"
    headers = {"Content-Disposition": disposition}
    return HttpResponse(body, content_type="application/pdf", headers=headers)


def _not_printed(request: StudioRequest, trouble: Exception) -> HttpResponse:
    status = 503 if isinstance(trouble, PrintingMissing) else 422
    context = {"sentence": str(trouble), "section": "Reports"}
    return render(request, "reports/not_printed.html", context, status=status)
