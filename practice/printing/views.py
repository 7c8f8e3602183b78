"""Printing for the whole studio: ask for it, see how far it is, take what came of it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from uuid import UUID

from django.contrib import messages
from django.db.models import Count, Q
from django.http import FileResponse, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.text import slugify
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from practice.printing import ask, store, worker
from practice.printing.forms import WeekForm
from practice.printing.guards import own_job
from practice.printing.models import PrintJob
from practice.reports.guards import own_term
from studio import clock
from studio.dates.weeks import DAYS_IN_WEEK, week_start
from studio.web.forms import posted
from studio.web.fragments import page_or_fragment
from studio.web.http import StudioRequest

SECTION = {"section": "reports"}


@require_GET
def jobs(request: StudioRequest) -> HttpResponse:
    """What was asked for and is still kept, and the sheets of a week to ask for."""
    worker.wake()
    found = PrintJob.objects.of(request.studio).select_related("term")
    counted = found.annotate(
        total=Count("parts"),
        drawn=Count("parts", filter=Q(parts__drawn=True)),
        in_trouble=Count("parts", filter=~Q(parts__trouble="")),
    )
    context = {"jobs": counted, "weeks": _weeks(request), **SECTION}
    return render(request, "printing/jobs.html", context)


def _weeks(request: StudioRequest) -> list[tuple[dt.date, int]]:
    """First day of last week, this and the next, each with how many weeks are decided in it."""
    this = week_start(clock.today(request.studio), request.studio.week_start)
    days = [this + dt.timedelta(days=DAYS_IN_WEEK * number) for number in (-1, 0, 1)]
    counted = ask.decided_counts(request.studio, days)
    return [(day, counted[day]) for day in days]


@require_POST
def print_reports(request: StudioRequest, term_id: int) -> HttpResponse:
    term = own_term(request, term_id)
    return _asked(
        request, lambda: ask.print_reports(term), reverse("reports:of-term", args=[term.pk])
    )


@require_POST
def print_sheets(request: StudioRequest) -> HttpResponse:
    """The sheets of the seven days from the day that is posted as `week`."""
    form = WeekForm(**posted(request))
    if not form.is_valid():
        messages.error(request, str(form.errors["week"][0]))
        return redirect("printing:jobs")
    week = form.cleaned_data["week"]
    return _asked(
        request, lambda: ask.print_sheets(request, request.studio, week), reverse("printing:jobs")
    )


def _asked(request: StudioRequest, begin: Callable[[], PrintJob], back: str) -> HttpResponse:
    try:
        job = begin()
    except ask.NothingToPrint as reason:
        messages.error(request, str(reason))
        return redirect(back)
    return redirect("printing:job", job.pk)


@require_GET
def job(request: StudioRequest, pk: UUID) -> HttpResponse:
    """How far it is; while it works, the page asks for its middle part every two seconds."""
    found = own_job(request, pk)
    if found.unfinished:
        worker.wake()
    parts = list(found.parts.select_related("student"))
    context = {
        "job": found,
        "total": len(parts),
        "done": sum(part.drawn or bool(part.trouble) for part in parts),
        "drawn": sum(part.drawn for part in parts),
        "troubles": [part for part in parts if part.trouble],
        "gone": found.state == PrintJob.State.READY and not store.is_there(found.pk),
        **SECTION,
    }
    return page_or_fragment(request, "printing/job.html", "printing/state.html", context)


@require_POST
def cancel(request: StudioRequest, pk: UUID) -> HttpResponse:
    found = own_job(request, pk)
    if ask.cancel(found):
        messages.success(request, _("Cancelled: {title}.").format(title=found.title))
    return redirect("printing:job", found.pk)


@require_POST
def throw_away(request: StudioRequest, pk: UUID) -> HttpResponse:
    found = own_job(request, pk)
    title = found.title
    ask.throw_away(found)
    messages.success(request, _("Thrown away: {title}.").format(title=title))
    return redirect("printing:jobs")


@require_GET
def all_pdf(request: StudioRequest, pk: UUID) -> HttpResponse | FileResponse:
    return _sent(request, pk, store.PDF, "application/pdf")


@require_GET
def all_zip(request: StudioRequest, pk: UUID) -> HttpResponse | FileResponse:
    return _sent(request, pk, store.ZIP, "application/zip")


def _sent(request: StudioRequest, pk: UUID, name: str, kind: str) -> HttpResponse | FileResponse:
    found = own_job(request, pk)
    path = store.folder(found.pk) / name
    if found.state != PrintJob.State.READY or not path.is_file():
        return redirect("printing:job", found.pk)
    title = slugify(found.title, allow_unicode=True)
    return FileResponse(
        path.open("rb"),
        as_attachment=name == store.ZIP,
        filename=f"{title}{path.suffix}",
        content_type=kind,
    )
