"""Ticking a sheet that came back from home, by keyboard."""

from __future__ import annotations

import datetime as dt

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from practice.desk.returned import Returned, as_message, fresh_key, returned, week_of
from practice.logs.models import LogEntry
from practice.logs.record import NotTaken, take
from practice.plans.models import Assignment
from studio import clock
from studio.people.guards import own_student
from studio.people.models import Student
from studio.web.days import named_day
from studio.web.http import StudioRequest

UNFIT = 422


@require_http_methods(["GET", "HEAD", "POST"])
def paper(request: StudioRequest, pk: int) -> HttpResponse:
    """The week in hand, or the one that starts on `?week=2026-11-19`."""
    student = own_student(request, pk)
    today = clock.today(request.studio)
    assignment = week_of(student, today, _asked(request))
    if assignment is None or assignment.starts > today:
        return _nothing_yet(request, student, assignment)
    page = returned(assignment, student, today)
    if request.method != "POST":
        return _page(request, student, page)
    now = clock.now()
    try:
        message = as_message(page, request.POST, now, today)
        take(message, student, LogEntry.Source.PAPER, now, today)
    except NotTaken as refused:
        return _page(request, student, page, refused.sentence)
    messages.success(request, _("{name}’s sheet is noted.").format(name=student.given_name))
    return redirect("desk:today")


def _nothing_yet(
    request: StudioRequest, student: Student, to_come: Assignment | None
) -> HttpResponse:
    """No week, or one that has not begun: nothing of it can have come back."""
    title = _("No week is decided yet")
    words = _("Once a week is decided, the sheet that comes back is ticked here.")
    if to_come is not None:
        title = _("This week has not begun")
        words = _("It begins on {day}; its sheet is ticked from then on.").format(
            day=named_day(to_come.starts)
        )
    context = {"student": student, "title": title, "words": words, "section": "students"}
    status = UNFIT if request.method == "POST" else 200
    return render(request, "desk/nothing_returned.html", context, status=status)


def _asked(request: StudioRequest) -> dt.date | None:
    text = request.GET.get("week", "")
    if not text:
        return None
    try:
        return dt.date.fromisoformat(text)
    except ValueError as error:
        raise Http404 from error


def _page(
    request: StudioRequest, student: Student, page: Returned, problem: str = ""
) -> HttpResponse:
    typed = request.POST if request.method == "POST" else None
    ticked = {cell.ids for cell in page.cells if cell.ticked}
    context = {
        "student": student,
        "page": page,
        "ticked": set(typed.getlist("cell")) if typed is not None else ticked,
        "word": typed.get("word", "") if typed is not None else "",
        "key": fresh_key(),
        "problem": problem,
        "section": "students",
    }
    return render(request, "desk/returned.html", context, status=UNFIT if problem else 200)
