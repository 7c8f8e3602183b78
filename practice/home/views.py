"""The home page: one child, one day. A plain form; the script only makes it quicker."""

from __future__ import annotations

import datetime as dt
import uuid

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from practice.home.access import Visit, for_home
from practice.home.day import HomeDay, home_day, running_week
from practice.home.forms import from_page, from_script
from practice.home.week import HomeWeek, home_week
from practice.logs.models import LogEntry, Word
from practice.logs.record import NotTaken, take
from studio import clock
from studio.people.models import Student

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
    context = {
        "visit": visit,
        "student": student,
        "assignment": assignment,
        "week": home_week(assignment, today),
        "lesson": student.lessons.next_for(student, today - dt.timedelta(days=1)),
        "words": Word.objects.filter(student=student, date__gte=assignment.starts),
    }
    return render(request, "home/week.html", context)


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
        "siblings": [each for each in visit.students if each.pk != student.pk],
        "week": week,
        "day": page,
        "today": today,
        "can_tick": page.date <= today,
        "key": uuid.uuid4(),
        "sent": "sent" in request.GET,
        "typed": typed or {},
    }
    return render(request, "home/day.html", context, status=status)
