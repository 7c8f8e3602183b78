"""Printed sheets: the latest of a week, an older edition, and the print that makes one."""

from __future__ import annotations

from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_POST

from practice.home.sheet_code import sheet_codes
from practice.plans.guards import own_assignment, own_sheet
from practice.plans.models import Sheet
from practice.sheets.data import SheetData, drawn
from practice.sheets.freeze import freeze, sheet_of
from practice.sheets.pictures import draw
from practice.sheets.render import SheetTooFull, sheet_pdf
from studio import clock
from studio.web.http import StudioRequest
from studio.web.pdf import PrintingMissing, pdf_answer


@require_GET
def sheet(request: StudioRequest, assignment_id: int) -> HttpResponse:
    """The latest sheet of the week as PDF."""
    return _as_pdf(request, own_sheet(request, assignment_id))


@require_GET
def sheet_edition(request: StudioRequest, assignment_id: int, edition: int) -> HttpResponse:
    """A sheet as it was printed then."""
    return _as_pdf(request, own_sheet(request, assignment_id, edition))


@require_POST
def print_again(request: StudioRequest, assignment_id: int) -> HttpResponse:
    """Freezes the sheet of a decided week as it is now, and opens it."""
    with transaction.atomic():
        assignment = own_assignment(request, assignment_id)
        freeze(assignment.plan, sheet_of(assignment, sheet_codes(request, assignment.student)))
        assignment.printed = clock.now()
        assignment.save(update_fields=["printed"])
    return redirect("sheet-pdf", assignment.pk)


def _as_pdf(request: StudioRequest, frozen: Sheet) -> HttpResponse:
    data = SheetData.from_json(frozen.data)
    try:
        content = sheet_pdf(drawn(data, draw))
    except (PrintingMissing, SheetTooFull) as trouble:
        status = 503 if isinstance(trouble, PrintingMissing) else 422
        student_id = frozen.plan.assignment.student_id
        context = {"sentence": str(trouble), "student": data.student, "student_id": student_id}
        return render(request, "sheets/not_printed.html", context, status=status)
    return pdf_answer(content, f"{data.student} {data.short_span}")
