"""Reports on paper: one as it stands, an edition as it was given, and all of a term at once."""

from __future__ import annotations

import io
import zipfile

from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.utils.http import content_disposition_header
from django.utils.text import slugify
from django.views.decorators.http import require_GET

from practice.reports import editions
from practice.reports.data import ReportData
from practice.reports.guards import own_given, own_term
from practice.reports.models import Report
from practice.reports.overview import Row, term_rows
from practice.reports.render import ReportTooLong, report_pdf, reports_pdf
from practice.reports.views import on_the_table
from studio.web.http import StudioRequest
from studio.web.pdf import PrintingMissing

EPOCH = (1980, 1, 1, 0, 0, 0)  # the earliest a zip knows: the same reports give the same file


@require_GET
def pdf(request: StudioRequest, term_id: int, student_id: int) -> HttpResponse:
    """The latest edition; a draft says on its face that it is one."""
    table = on_the_table(request, term_id, student_id)
    data = editions.shown(table.latest, table.figures, table.before)
    return _printed(request, [data], f"{data.student} {data.term}")


@require_GET
def edition_pdf(
    request: StudioRequest, term_id: int, student_id: int, edition: int
) -> HttpResponse:
    data = editions.as_given(own_given(request, term_id, student_id, edition))
    return _printed(request, [data], f"{data.student} {data.term} edition {edition}")


@require_GET
def all_pdf(request: StudioRequest, term_id: int) -> HttpResponse:
    """Every given report of the term in the order of lessons."""
    term = own_term(request, term_id)
    return _printed(request, [data for _, data in _given(term_rows(term))], f"{term.name} reports")


@require_GET
def all_zip(request: StudioRequest, term_id: int) -> HttpResponse:
    """The same as single files, numbered in the order of lessons."""
    term = own_term(request, term_id)
    found = _given(term_rows(term))
    if not found:
        raise Http404("No report of this term is given yet.")
    packed = io.BytesIO()
    try:
        with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as folder:
            for number, (report, data) in enumerate(found, 1):
                name = slugify(data.student, allow_unicode=True) or f"student-{report.student_id}"
                info = zipfile.ZipInfo(f"{number:02}-{name}.pdf", EPOCH)
                folder.writestr(info, report_pdf(data))
    except (PrintingMissing, ReportTooLong) as trouble:
        return _not_printed(request, trouble)
    return _file(packed.getvalue(), "application/zip", f"{term.name} reports.zip", True)


def _given(rows: list[Row]) -> list[tuple[Report, ReportData]]:
    return [(row.given, editions.as_given(row.given)) for row in rows if row.given]


def _printed(request: StudioRequest, reports: list[ReportData], name: str) -> HttpResponse:
    if not reports:
        raise Http404("No report of this term is given yet.")
    try:
        body = reports_pdf(reports)
    except (PrintingMissing, ReportTooLong) as trouble:
        return _not_printed(request, trouble)
    return _file(body, "application/pdf", f"{slugify(name, allow_unicode=True) or 'report'}.pdf")


def _file(body: bytes, kind: str, name: str, attached: bool = False) -> HttpResponse:
    disposition = content_disposition_header(as_attachment=attached, filename=name) or "inline"
    return HttpResponse(body, content_type=kind, headers={"Content-Disposition": disposition})


def _not_printed(request: StudioRequest, trouble: Exception) -> HttpResponse:
    status = 503 if isinstance(trouble, PrintingMissing) else 422
    context = {"sentence": str(trouble), "section": "Reports"}
    return render(request, "reports/not_printed.html", context, status=status)
