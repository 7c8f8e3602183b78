"""The calendar to look at: a week, a month, a day."""

from __future__ import annotations

import datetime as dt

from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from studio import clock
from studio.dates.weeks import add_months, week_start
from studio.lessons.models import Lesson
from studio.lessons.week_page import month_page, week_page
from studio.terms.models import Term
from studio.web.http import StudioRequest

SECTION = {"section": "calendar"}
WEEK = dt.timedelta(weeks=1)


# Whoever teaches now has no lessons outside, and weeks and months around a day are days too.
FIRST, LAST = dt.date(1990, 1, 8), dt.date(2099, 12, 31)


def day_of(year: int, month: int, day: int = 1) -> dt.date:
    """The day in an address; 404 for one that is in no calendar."""
    try:
        found = dt.date(year, month, day)
    except (ValueError, OverflowError) as error:
        raise Http404(str(error)) from error
    if not FIRST <= found <= LAST:
        raise Http404("No lessons in that year.")  # no words: the page shows none
    return found


@require_GET
def week(request: StudioRequest, year: int = 0, month: int = 0, day: int = 0) -> HttpResponse:
    """The calendar's first page: this week, or the one that holds the day."""
    today = clock.today(request.studio)
    shown = day_of(year, month, day) if year else today
    start = week_start(shown, request.studio.week_start)
    context = {
        "week": week_page(request.studio, shown, today),
        "first": start,
        "last": start + dt.timedelta(days=6),
        "before": start - WEEK,
        "after": start + WEEK,
        "today": today,
        "term": Term.objects.of(request.studio).on(shown),
        "begun": Term.objects.of(request.studio).exists()
        or Lesson.objects.of(request.studio).exists(),
        "make_ups": Lesson.objects.make_ups_owed(request.studio, today).count(),
        "absent": Lesson.objects.of_absent(request.studio, today).count(),
        "room": "week",
        **SECTION,
    }
    return render(request, "lessons/week.html", context)


@require_GET
def month(request: StudioRequest, year: int = 0, month: int = 0) -> HttpResponse:
    """This month, or the one in the address."""
    today = clock.today(request.studio)
    first = day_of(year, month) if year else today.replace(day=1)
    context = {
        "weeks": month_page(request.studio, first.year, first.month, today),
        "first": first,
        "before": add_months(first, -1),
        "after": add_months(first, 1),
        "today": today,
        "room": "month",
        **SECTION,
    }
    return render(request, "lessons/month.html", context)
