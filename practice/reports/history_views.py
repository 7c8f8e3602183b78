"""A student's years, as a page, as paper to keep, and as paper to take along."""

from __future__ import annotations

import datetime as dt

from django.http import HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET

from practice.reports.history import history_of
from practice.reports.paper_views import printed
from practice.reports.render import STYLES
from practice.reports.standing import Standing, standing_of
from practice.sheets.words import on_paper
from studio import clock
from studio.people.guards import own_student
from studio.people.models import Student
from studio.web.http import StudioRequest
from studio.web.pdf import pdf

HALF_A_YEAR = dt.timedelta(weeks=26)


@require_GET
def history(request: StudioRequest, student_id: int) -> HttpResponse:
    """The year of half a year ago, and since; `?before=all` tells all."""
    student, today = own_student(request, student_id), clock.today(request.studio)
    lately = dt.date(((student.left or today) - HALF_A_YEAR).year, 1, 1)
    since = dt.date.min if request.GET.get("before") == "all" else lately
    context = {
        "history": history_of(student, today, since),
        "has_earlier": student.started < since,
        "student": student,
        "section": "students",
    }
    return render(request, "reports/history.html", context)


@require_GET
def history_pdf(request: StudioRequest, student_id: int) -> HttpResponse:
    """Paper to keep. First name only; as many pages as the years need."""
    return _on_paper(request, own_student(request, student_id), _("{name} years"))


@require_GET
def moving_pdf(request: StudioRequest, student_id: int) -> HttpResponse:
    """The same with where things stand before it, for the next teacher."""
    student = own_student(request, student_id)
    return _on_paper(request, student, _("{name} to take along"), standing_of(student))


def _on_paper(
    request: StudioRequest, student: Student, name: str, standing: Standing | None = None
) -> HttpResponse:
    context = {
        "history": history_of(student, clock.today(request.studio)),
        "standing": standing,
        "student": student,
        "studio": request.studio,
    }
    html = on_paper("reports/history_print.html", request.studio.locale, context)
    name = name.format(name=student.given_name)
    return printed(request, name, lambda: pdf(html, STYLES), section="students")
