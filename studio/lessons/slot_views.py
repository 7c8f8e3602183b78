"""Weekly lessons: made, changed from a day on, ended."""

from __future__ import annotations

from django.contrib import messages
from django.db.models import Q
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from studio import clock
from studio.lessons import schedule
from studio.lessons.booking import Refused
from studio.lessons.calendar_views import SECTION
from studio.lessons.change_views import GET_OR_POST
from studio.lessons.forms import EndSlotForm, SlotForm, slot_initial
from studio.lessons.guards import own_slot
from studio.lessons.models import Slot
from studio.people.models import Student
from studio.web.forms import answer, posted
from studio.web.http import StudioRequest

MOST_TOLD = 4  # reasons on one page; they repeat from week to week


@require_GET
def slots(request: StudioRequest) -> HttpResponse:
    """The standing week: every weekly lesson, and who has none."""
    today = clock.today(request.studio)
    running = (
        Slot.objects.filter(studio=request.studio)
        .filter(Q(last_day=None) | Q(last_day__gte=today))
        .prefetch_related("students")
    )
    with_slot = {student.pk for slot in running for student in slot.students.all()}
    context = {
        "slots": running,
        "without": Student.objects.of(request.studio).learning().exclude(pk__in=with_slot),
        "today": today,
        "room": "slots",
        **SECTION,
    }
    return render(request, "lessons/slots.html", context)


@require_http_methods(GET_OR_POST)
def add(request: StudioRequest) -> HttpResponse:
    today = clock.today(request.studio)
    initial = {
        "minutes": 30,
        "every_weeks": 1,
        "from_day": today,
        "students": request.GET.getlist("student"),
    }
    form = SlotForm(**posted(request), studio=request.studio, initial=initial)
    if form.is_valid():
        try:
            slot, filled = schedule.add_slot(
                request.studio,
                list(form.cleaned_data["students"]),
                form.time,
                form.cleaned_data["from_day"],
                today,
            )
        except Refused as reason:
            form.add_error(None, str(reason))
        else:
            tell(request, filled)
            return redirect("lessons:slots")
    no_term = not form.is_bound and not schedule.coming_terms(request.studio, today)
    context = {"form": form, "no_term": no_term, **SECTION}
    return render(request, "lessons/slot_add.html", context, status=answer(form))


def tell(request: StudioRequest, filled: schedule.Filled) -> None:
    """What filling did, and each lesson that could not be made with its reason."""
    words = ngettext("{n} lesson planned.", "{n} lessons planned.", filled.made)
    messages.success(request, words.format(n=filled.made))
    for sentence in filled.left_out[:MOST_TOLD]:
        messages.warning(request, _("Not planned: {reason}").format(reason=sentence))
    more = len(filled.left_out) - MOST_TOLD
    if more > 0:
        words = ngettext(
            "Not planned either: {n} more day like these.",
            "Not planned either: {n} more days like these.",
            more,
        )
        messages.warning(request, words.format(n=more))


@require_http_methods(GET_OR_POST)
def change(request: StudioRequest, pk: int) -> HttpResponse:
    slot = own_slot(request, pk)
    today = clock.today(request.studio)
    form = SlotForm(
        **posted(request),
        studio=request.studio,
        slot=slot,
        initial=slot_initial(slot, max(today, slot.first_day)),
    )
    if form.is_valid():
        try:
            schedule.change_slot(slot, form.time, form.cleaned_data["from_day"], today)
        except Refused as reason:
            form.add_error(None, str(reason))
        else:
            messages.success(request, _("The weekly lesson is changed. Calendars are told."))
            return redirect("lessons:slots")
    end_form = EndSlotForm(initial={"last_day": today})
    context = {"form": form, "end_form": end_form, "slot": slot, **SECTION}
    return render(request, "lessons/slot_change.html", context, status=answer(form))


@require_POST
def end(request: StudioRequest, pk: int) -> HttpResponse:
    slot = own_slot(request, pk)
    today = clock.today(request.studio)
    form = EndSlotForm(**posted(request))
    if form.is_valid():
        try:
            gone = schedule.end_slot(slot, form.cleaned_data["last_day"], today)
        except Refused as reason:
            form.add_error("last_day", str(reason))
        else:
            words = ngettext(
                "The weekly lesson has its last day. {n} taken out.",
                "The weekly lesson has its last day. {n} taken out.",
                gone,
            )
            messages.success(request, words.format(n=gone))
            return redirect("lessons:slots")
    change_form = SlotForm(studio=request.studio, slot=slot, initial=slot_initial(slot, today))
    context = {"form": change_form, "end_form": form, "slot": slot, **SECTION}
    return render(request, "lessons/slot_change.html", context, status=answer(form))


@require_POST
def absent_out(request: StudioRequest) -> HttpResponse:
    """Take out what is still planned for students who have paused or left."""
    gone = schedule.take_out_absent(request.studio, clock.today(request.studio))
    words = ngettext("{n} planned lesson taken out.", "{n} planned lessons taken out.", gone)
    messages.success(request, words.format(n=gone))
    return redirect("lessons:calendar")
