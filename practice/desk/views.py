"""The Desk: the teacher's day, what waits for her, and all students' weeks at a glance."""

from __future__ import annotations

import datetime as dt

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from practice.desk.day import desk_day
from practice.desk.loose_ends import loose_ends, quiet_homes
from practice.desk.term import term_so_far
from practice.logs.history import last_weeks
from studio import clock
from studio.people.models import Student
from studio.web.http import StudioRequest


@require_GET
def today(request: StudioRequest) -> HttpResponse:
    day = desk_day(request.studio, clock.now())
    context = {
        "day": day,
        "loose_ends": loose_ends(request.studio, day.date),
        "quiet": quiet_homes(request.studio, day.date),
        "term": term_so_far(request.studio, day.date),
        "has_students": bool(day.lessons) or Student.objects.of(request.studio).exists(),
    }
    return render(request, "desk/today.html", context)


@require_GET
def week(request: StudioRequest) -> HttpResponse:
    """Every learning student's last week in one line, by name: nobody is ranked."""
    day = clock.today(request.studio)
    students = list(Student.objects.of(request.studio).learning().select_related("family"))
    weeks = last_weeks([each.pk for each in students], day + dt.timedelta(days=1))
    rows = [(each, weeks.get(each.pk)) for each in students]
    return render(request, "desk/week.html", {"rows": rows, "section": "today"})
