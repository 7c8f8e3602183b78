"""The home page: one child, one day. A plain form; the script only makes it quicker."""

from __future__ import annotations

import datetime as dt
import uuid
from pathlib import Path

from django.contrib.auth.decorators import login_not_required
from django.contrib.staticfiles import finders
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from practice.home.access import Visit, for_home
from practice.home.day import HomeDay, home_day, starts_of, week_with
from practice.home.forms import as_typed, from_page, from_script
from practice.home.week import HomeWeek, home_week
from practice.logs.models import LogEntry
from practice.logs.record import NotTaken, TooEarly, take
from studio import clock
from studio.people.models import Student
from studio.web.days import in_words

UNFIT, LATER = 422, 503


@for_home
@require_http_methods(["GET", "HEAD", "POST"])
def day(
    request: HttpRequest, visit: Visit, pk: int | None = None, day: dt.date | None = None
) -> HttpResponse:
    student = visit.student(pk)
    today = clock.today(visit.studio)
    assignment = week_with(student, day, today)
    if assignment is None:
        context = {"visit": visit, "student": student, "siblings": visit.others(student)}
        return render(request, "home/none.html", context)
    week = home_week(assignment, today)
    page = home_day(student, assignment, week.day(day), starts_of(assignment))
    if request.method != "POST":
        return _page(request, visit, student, week, page)
    try:
        _taken(request, visit, student, page, day)
    except NotTaken as refused:
        page = as_typed(page, request.POST, refused.item)
        typed = {"problem": refused.sentence, "word": request.POST.get("word", "")}
        return _page(request, visit, student, week, page, typed, status=UNFIT)
    address = redirect("home:day", visit.token, student.pk, page.date)
    address["Location"] += "?sent"
    return address


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
        # The phone keeps what comes too early, and sends it again.
        status = LATER if isinstance(refused, TooEarly) else UNFIT
        return JsonResponse({"sentence": refused.sentence, "item": refused.item}, status=status)
    return JsonResponse({"taken": new})


@login_not_required
@require_safe
def worker(request: HttpRequest) -> HttpResponse:
    """The script that keeps opened pages; served here because its path is what it may see."""
    path = finders.find("js/home_worker.js")
    script = Path(path).read_bytes() if isinstance(path, str) else b""
    headers = {"Cache-Control": "no-cache"}
    return HttpResponse(script, content_type="text/javascript; charset=utf-8", headers=headers)


def _taken(
    request: HttpRequest, visit: Visit, student: Student, page: HomeDay, day: dt.date | None
) -> None:
    if day is not None and day != page.date:
        sentence = _("{day} is in no week of {name}.")
        raise NotTaken(sentence.format(day=in_words(day, "l j F Y"), name=student.given_name))
    now = clock.now()
    message = from_page(request.POST, page, now)
    take(message, student, LogEntry.Source.HOME, now, clock.today(visit.studio))


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
