"""A student's years, as a page, as paper to keep, and as paper to take along."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render
from django.template.loader import render_to_string
from django.utils.http import content_disposition_header
from django.utils.text import slugify
from django.views.decorators.http import require_GET

from practice.reports.history import history_of
from practice.reports.render import STYLES
from practice.reports.standing import Standing, standing_of
from practice.sheets.words import without_pictures
from studio import clock
from studio.people.guards import own_student
from studio.people.models import Student
from studio.web import pdf
from studio.web.http import StudioRequest


@require_GET
def history(request: StudioRequest, student_id: int) -> HttpResponse:
    past = history_of(own_student(request, student_id), clock.today(request.studio))
    context = {"history": past, "student": past.student, "section": "Students"}
    return render(request, "reports/history.html", context)


@require_GET
def history_pdf(request: StudioRequest, student_id: int) -> HttpResponse:
    """Paper to keep. First name only; as many pages as the years need."""
    return _on_paper(request, own_student(request, student_id), "years")


@require_GET
def moving_pdf(request: StudioRequest, student_id: int) -> HttpResponse:
    """The same with where things stand before it, for the next teacher."""
    student = own_student(request, student_id)
    return _on_paper(request, student, "to take along", standing_of(student))


def _on_paper(
    request: StudioRequest, student: Student, name: str, standing: Standing | None = None
) -> HttpResponse:
    context = {
        "history": history_of(student, clock.today(request.studio)),
        "standing": standing,
        "student": student,
        "studio": request.studio,
        "language": request.studio.locale,
    }
    html = without_pictures(render_to_string("reports/history_print.html", context))
    try:
        body = pdf.pdf(html, STYLES)
    except pdf.PrintingMissing as trouble:
        context = {"sentence": str(trouble), "section": "Students"}
        return render(request, "reports/not_printed.html", context, status=503)
    file = slugify(f"{student.given_name} {name}", allow_unicode=True)
    disposition = content_disposition_header(as_attachment=False, filename=f"{file}.pdf")
    headers = {"Content-Disposition": disposition or "inline"}
    return HttpResponse(body, content_type="application/pdf", headers=headers)
