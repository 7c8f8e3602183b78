"""The weeks a student was given, latest first, with every sheet that was printed of them."""

from __future__ import annotations

from django.db.models import Prefetch
from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from practice.plans.models import Assignment, Plan, Sheet
from studio import clock
from studio.people.guards import own_student
from studio.web.http import StudioRequest
from studio.web.numbers import number_of

WEEKS_A_PAGE = 20
# Which sheets there are, without all that is printed on them.
PLAN_AND_SHEETS = (
    Prefetch("plan", Plan.objects.defer("inputs")),
    Prefetch("plan__sheets", Sheet.objects.defer("data")),
)


@require_safe
def weeks(request: StudioRequest, pk: int) -> HttpResponse:
    student = own_student(request, pk)
    asked = number_of(request.GET.get("page", "")) or 1
    number = asked if asked < 1000 else 1
    first = (number - 1) * WEEKS_A_PAGE
    rows = Assignment.objects.filter(student=student).order_by("-starts")
    # One row more than a page shows whether there is another page, without counting them all;
    # minutes are summed of these alone.
    shown = rows.filter(pk__in=rows.values("pk")[first : first + WEEKS_A_PAGE + 1])
    found = list(shown.with_minutes().prefetch_related(*PLAN_AND_SHEETS))
    context = {
        "student": student,
        "today": clock.today(request.studio),
        "weeks": found[:WEEKS_A_PAGE],
        "later": number - 1,
        "earlier": number + 1 if len(found) > WEEKS_A_PAGE else 0,
        "section": "students",
    }
    return render(request, "plans/weeks.html", context)
