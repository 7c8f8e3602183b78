"""The teacher's own busy times: out of a calendar file, looked at first, then taken."""

from __future__ import annotations

import datetime as dt
from zoneinfo import ZoneInfo

from django import forms
from django.contrib import messages
from django.core import signing
from django.db.models import Count, Max, Min
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext
from django.views.decorators.http import require_GET, require_POST

from studio import clock
from studio.lessons.booking import changing, taken_between
from studio.lessons.calendar_views import SECTION
from studio.lessons.importing import LARGEST_FILE, Reading, UnreadableCalendar, read
from studio.lessons.models import BusyTime
from studio.record.models import What
from studio.record.noting import note
from studio.web.http import StudioRequest

SALT = "studio.lessons.busy"
HOLDS_FOR = dt.timedelta(hours=2)
AHEAD = dt.timedelta(days=366)


class FileForm(forms.Form):
    file = forms.FileField(
        label=gettext_lazy("Calendar file (.ics)"),
        error_messages={
            "required": gettext_lazy("Choose a calendar file first."),
            "empty": gettext_lazy("The file is empty."),
        },
        widget=forms.ClearableFileInput(attrs={"accept": ".ics,text/calendar"}),
    )


@require_GET
def busy(request: StudioRequest) -> HttpResponse:
    return _page(request, FileForm())


def _page(request: StudioRequest, form: FileForm) -> HttpResponse:
    sources = (
        BusyTime.objects.filter(studio=request.studio)
        .order_by()
        .values("source")
        .annotate(count=Count("pk"), first=Min("starts"), last=Max("ends"))
        .order_by("source")
    )
    context = {"form": form, "sources": sources, "room": "busy", **SECTION}
    status = 422 if form.is_bound else 200
    return render(request, "lessons/busy.html", context, status=status)


@require_POST
def busy_preview(request: StudioRequest) -> HttpResponse:
    """What the file would bring. Nothing is kept yet; the page carries it, signed."""
    form = FileForm(request.POST, request.FILES)
    if not form.is_valid():
        return _page(request, form)
    upload = form.cleaned_data["file"]
    today = clock.today(request.studio)
    try:
        # One byte more than fits, so that a large file is refused without being held in memory.
        content = upload.read(LARGEST_FILE + 1)
        if upload.size > LARGEST_FILE:
            sentence = _(
                "“{file}” has {size} MB; at most {most} MB can be taken. Export fewer years of it."
            )
            raise UnreadableCalendar(
                sentence.format(
                    file=upload.name[:60],
                    size=f"{upload.size / 1024 / 1024:.0f}",
                    most=LARGEST_FILE // 1024 // 1024,
                )
            )
        reading = read(content, today, today + AHEAD, ZoneInfo(request.studio.zone))
    except UnreadableCalendar as reason:
        form.add_error("file", str(reason))
        return _page(request, form)
    source = upload.name[-120:]
    context = {
        "source": source,
        "reading": reading,
        "clashing": _clashing(request, reading),
        "held": _held(request, source, reading),
        **SECTION,
    }
    return render(request, "lessons/busy_preview.html", context)


def _clashing(request: StudioRequest, reading: Reading) -> int:
    """How many of the times lie on a lesson."""
    times = [time for event in reading.events for time in event.times]
    if not times:
        return 0
    days = [time.starts.date() for time in times] + [time.ends.date() for time in times]
    taken = taken_between(request.studio, min(days), max(days))
    return sum(
        any(one.starts < time.ends and time.starts < one.ends for one in taken) for time in times
    )


def _held(request: StudioRequest, source: str, reading: Reading) -> str:
    events = [
        [event.what, [[int(t.starts.timestamp()), int(t.ends.timestamp())] for t in event.times]]
        for event in reading.events
    ]
    return signing.dumps([request.studio.pk, source, events], salt=SALT, compress=True)


@require_POST
def busy_take(request: StudioRequest) -> HttpResponse:
    """Keep the ticked events; what an earlier file of the same name brought goes."""
    try:
        studio_pk, source, events = signing.loads(
            request.POST.get("held", ""), salt=SALT, max_age=HOLDS_FOR
        )
    except signing.BadSignature:
        messages.error(request, _("That was too long ago. Choose the file once more."))
        return redirect("lessons:busy")
    if studio_pk != request.studio.pk:
        messages.error(request, _("That file was read for another studio."))
        return redirect("lessons:busy")
    ticked = set(request.POST.getlist("event"))
    rows = [
        BusyTime(
            studio=request.studio,
            what=what,
            source=source,
            starts=dt.datetime.fromtimestamp(starts, dt.UTC),
            ends=dt.datetime.fromtimestamp(ends, dt.UTC),
        )
        for number, (what, times) in enumerate(events)
        if str(number) in ticked
        for starts, ends in times
    ]
    with changing(request.studio):
        BusyTime.objects.filter(studio=request.studio, source=source).delete()
        BusyTime.objects.bulk_create(rows)
        noted = ngettext("a calendar, {n} busy time", "a calendar, {n} busy times", len(rows))
        note(request, What.IMPORTED, noted.format(n=len(rows)))
    words = ngettext(
        "{n} busy time kept. Free times leave them out.",
        "{n} busy times kept. Free times leave them out.",
        len(rows),
    )
    messages.success(request, words.format(n=len(rows)))
    return redirect("lessons:busy")


@require_POST
def busy_forget(request: StudioRequest) -> HttpResponse:
    source = request.POST.get("source", "")
    with changing(request.studio):
        gone = BusyTime.objects.filter(studio=request.studio, source=source).delete()[0]
        noted = ngettext("a calendar, {n} busy time", "a calendar, {n} busy times", gone)
        if gone:
            note(request, What.IMPORT_UNDONE, noted.format(n=gone))
    words = ngettext("{n} busy time forgotten.", "{n} busy times forgotten.", gone)
    messages.success(request, words.format(n=gone))
    return redirect("lessons:busy")
