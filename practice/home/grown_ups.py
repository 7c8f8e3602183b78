"""The page for grown-ups: the week, lessons, past sheets, notes for home, term reports."""

from __future__ import annotations

import datetime as dt
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import pgettext
from django.views.decorators.http import require_safe

from practice.home.access import Visit, for_home
from practice.home.day import running_week
from practice.home.past import past_sheet, past_sheets, with_code
from practice.home.week import home_week
from practice.logs.models import LessonNote, Word
from practice.recitals.coming import coming_for
from practice.reports.data import ReportData
from practice.reports.editions import as_given, given_of
from practice.reports.render import ReportTooLong, report_pdf
from practice.sheets.data import drawn
from practice.sheets.pictures import draw
from practice.sheets.render import SheetTooFull, sheet_pdf
from studio import clock
from studio.lessons import addresses
from studio.lessons.models import Lesson
from studio.people.models import Student
from studio.web import reach
from studio.web.pdf import PrintingMissing, pdf_answer

LESSONS_SHOWN = 5
NOTES_SHOWN = 12


@for_home
@require_safe
def week(request: HttpRequest, visit: Visit, pk: int) -> HttpResponse:
    """All of it on one page; what is meant for grown-ups alone only by their own links."""
    student = visit.student(pk)
    today = clock.today(visit.studio)
    calendar = addresses.family_link(student.family) if visit.whole_family else None
    context: dict[str, Any] = {
        "visit": visit,
        "student": student,
        "siblings": visit.others(student),
        "calendar": addresses.page(request, calendar),
        "sheets": past_sheets(student),
        "lessons": _coming(student),
        "recitals": coming_for(student, today),
        "notes": LessonNote.objects.filter(lesson__student=student, on_sheet=True)
        .select_related("lesson")
        .order_by("-lesson__date", "-written")[:NOTES_SHOWN],
        "reports": given_of(student) if visit.for_grown_ups else [],
    }
    assignment = running_week(student, today)
    if assignment is not None:
        context["assignment"] = assignment
        context["week"] = home_week(assignment, today)
        context["words"] = Word.objects.filter(student=student, date__gte=assignment.starts)
    return render(request, "home/week.html", context)


def _coming(student: Student) -> list[Lesson]:
    """The next planned lessons; one that is over is none of them, though not marked as kept yet."""
    local = clock.local_now(student.family.studio)
    planned = student.lessons.filter(date__gte=local.date(), status=Lesson.Status.PLANNED)
    found = list(planned.order_by("date", "starts")[: LESSONS_SHOWN + 1])
    now = local.replace(tzinfo=None)
    return [
        each
        for each in found
        if dt.datetime.combine(each.date, each.starts) + dt.timedelta(minutes=each.minutes) > now
    ][:LESSONS_SHOWN]


@for_home
@require_safe
def sheet(request: HttpRequest, visit: Visit, pk: int, assignment_id: int) -> HttpResponse:
    """The sheet of a week as it was printed, with the code of the very link it is opened by."""
    student = visit.student(pk)
    frozen = past_sheet(student, assignment_id)
    here = reach.whole(request, reverse("home:child", args=[visit.token, student.pk]))
    try:
        content = sheet_pdf(drawn(with_code(frozen, here), draw))
    except (PrintingMissing, SheetTooFull):
        return _not_made(request, visit, student, is_report=False)
    name = pgettext("file name", "week")
    return pdf_answer(content, f"{name}-{frozen.plan.assignment.starts}")


@for_home
@require_safe
def report(request: HttpRequest, visit: Visit, pk: int, term_id: int) -> HttpResponse:
    """The term's report as it was given, to be read on a phone."""
    student = visit.student(pk)
    context = {
        "visit": visit,
        "student": student,
        "data": _given(visit, student, term_id),
        "term_id": term_id,
    }
    return render(request, "home/report.html", context)


@for_home
@require_safe
def printed_report(request: HttpRequest, visit: Visit, pk: int, term_id: int) -> HttpResponse:
    """The same as the page of paper it was given as."""
    student = visit.student(pk)
    data = _given(visit, student, term_id)
    try:
        content = report_pdf(data)
    except (PrintingMissing, ReportTooLong):
        return _not_made(request, visit, student, is_report=True)
    return pdf_answer(content, f"{student.given_name} {data.term}")


def _given(visit: Visit, student: Student, term_id: int) -> ReportData:
    """The latest edition given; 404 for a draft, another child's, or a child's own link."""
    found = [each for each in given_of(student) if each.term_id == term_id]
    if not found or not visit.for_grown_ups:
        raise Http404(_("No page has this address."))
    return as_given(found[0])


def _not_made(
    request: HttpRequest, visit: Visit, student: Student, *, is_report: bool
) -> HttpResponse:
    context = {"visit": visit, "student": student, "is_report": is_report}
    return render(request, "home/not_made.html", context, status=503)
