"""The home page: one child, one day. A plain form; the script only makes it quicker."""

from __future__ import annotations

import datetime as dt
import uuid
from pathlib import Path

from django.contrib.auth.decorators import login_not_required
from django.contrib.staticfiles import finders
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from practice.home.access import Visit, for_home
from practice.home.day import HomeDay, home_day, running_week
from practice.home.forms import from_page, from_script
from practice.home.past import past_sheet, past_sheets, with_code
from practice.home.week import HomeWeek, home_week
from practice.logs.models import LogEntry, Word
from practice.logs.record import NotTaken, take
from practice.sheets.data import drawn
from practice.sheets.pictures import draw
from practice.sheets.render import SheetTooFull, sheet_pdf
from studio import clock
from studio.lessons import addresses
from studio.people.models import Student
from studio.web import reach
from studio.web.pdf import PrintingMissing

UNFIT = 422


@for_home
@require_http_methods(["GET", "HEAD", "POST"])
def day(
    request: HttpRequest, visit: Visit, pk: int | None = None, day: dt.date | None = None
) -> HttpResponse:
    student = visit.student(pk)
    today = clock.today(visit.studio)
    assignment = running_week(student, today)
    if assignment is None:
        return render(request, "home/none.html", {"visit": visit, "student": student})
    week = home_week(assignment, today)
    shown = week.day(day)
    page = home_day(student, assignment, shown)
    if request.method == "POST":
        return _sent(request, visit, student, week, page)
    return _page(request, visit, student, week, page)


@for_home
@require_POST
def send(request: HttpRequest, visit: Visit, pk: int) -> HttpResponse:
    """What the script sends, one message after the other. Answers with what is kept."""
    student = visit.student(pk)
    now = clock.now()
    try:
        message = from_script(request.body, now)
        new = take(message, student, LogEntry.Source.HOME, now, clock.today(visit.studio))
    except NotTaken as refused:
        return JsonResponse({"sentence": refused.sentence}, status=UNFIT)
    return JsonResponse({"taken": new})


@for_home
@require_safe
def week(request: HttpRequest, visit: Visit, pk: int) -> HttpResponse:
    """For the grown-ups: the week, the next lesson, words sent."""
    student = visit.student(pk)
    today = clock.today(visit.studio)
    assignment = running_week(student, today)
    if assignment is None:
        return render(request, "home/none.html", {"visit": visit, "student": student})
    calendar = addresses.family_link(student.family) if visit.whole_family else None
    context = {
        "visit": visit,
        "student": student,
        "siblings": visit.others(student),
        "calendar": addresses.page(request, calendar),
        "sheets": past_sheets(student),
        "assignment": assignment,
        "week": home_week(assignment, today),
        "lesson": student.lessons.next_for(student, today - dt.timedelta(days=1)),
        "words": Word.objects.filter(student=student, date__gte=assignment.starts),
    }
    return render(request, "home/week.html", context)


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
        context = {"visit": visit, "student": student, "teacher": visit.studio.teacher}
        return render(request, "home/no_sheet.html", context, status=503)
    response = HttpResponse(content, content_type="application/pdf")
    response["Content-Disposition"] = f'inline; filename="week-{frozen.plan.assignment.starts}.pdf"'
    return response


@login_not_required
@require_safe
def worker(request: HttpRequest) -> HttpResponse:
    """The script that keeps opened pages; served here because its path is what it may see."""
    path = finders.find("js/home_worker.js")
    script = Path(path).read_bytes() if isinstance(path, str) else b""
    headers = {"Cache-Control": "no-cache"}
    return HttpResponse(script, content_type="text/javascript; charset=utf-8", headers=headers)


def _sent(
    request: HttpRequest, visit: Visit, student: Student, week: HomeWeek, page: HomeDay
) -> HttpResponse:
    now = clock.now()
    try:
        message = from_page(request.POST, page, now)
        take(message, student, LogEntry.Source.HOME, now, clock.today(visit.studio))
    except NotTaken as refused:
        typed = {"problem": refused.sentence, "word": request.POST.get("word", "")}
        return _page(request, visit, student, week, page, typed, status=UNFIT)
    address = redirect("home:day", visit.token, student.pk, page.date)
    address["Location"] += "?sent"
    return address


def _page(
    request: HttpRequest,
    visit: Visit,
    student: Student,
    week: HomeWeek,
    page: HomeDay,
    typed: dict[str, str] | None = None,
    status: int = 200,
) -> HttpResponse:
    today = clock.today(visit.studio)
    context = {
        "visit": visit,
        "student": student,
        "siblings": visit.others(student),
        "week": week,
        "day": page,
        "today": today,
        "can_tick": page.date <= today,
        "key": uuid.uuid4(),
        "sent": "sent" in request.GET,
        "typed": typed or {},
    }
    return render(request, "home/day.html", context, status=status)
