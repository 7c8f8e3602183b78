"""The scale in hand: a key, its form and octaves, and the tempo."""

from __future__ import annotations

from django.contrib import messages
from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods

from practice.repertoire import changes
from practice.repertoire.forms import ScaleForm, refuse
from practice.repertoire.models import ScaleInHand
from studio import clock
from studio.people.guards import own_student
from studio.people.models import Student
from studio.web.forms import answer, posted
from studio.web.http import StudioRequest


@require_http_methods(["GET", "HEAD", "POST"])
def scale(request: StudioRequest, pk: int) -> HttpResponse:
    """Move on to another scale, or give the one in hand another tempo."""
    student = own_student(request, pk)
    today = clock.today(request.studio)
    now = student.scales.filter(until=None).first()
    initial = {"since": today, "octaves": 1}
    if now:
        initial |= {
            "key": now.key,
            "octaves": now.octaves,
            "tempo_now": now.tempo_now,
            "tempo_goal": now.tempo_goal,
        }
        if now.form != ScaleInHand.Form.MAJOR:
            initial["minor_form"] = now.form
    form = ScaleForm(**posted(request), today=today, initial=initial)
    if form.is_valid():
        try:
            with transaction.atomic():
                saved = _take(student, form, now)
        except changes.Refused as refused:
            refuse(form, refused)
        else:
            messages.success(request, f"{saved.key} is in hand.")
            return redirect(reverse("repertoire:of_student", args=[student.pk]) + "#scale")
    context = {"form": form, "student": student, "now": now, "section": "Students"}
    return render(request, "repertoire/scale.html", context, status=answer(form))


@require_GET
def scale_preview(request: StudioRequest) -> HttpResponse:
    """The scale as engraved, asked for while it is chosen; nothing while it is half chosen."""
    form = ScaleForm(request.GET, today=clock.today(request.studio))
    form.is_valid()
    given = form.cleaned_data
    context = {}
    if {"key", "octaves", "minor_form"} <= given.keys():
        context = {"key": given["key"], "octaves": given["octaves"], "form": form.form_of_scale}
    return render(request, "repertoire/scale_picture.html", context)


def _take(student: Student, form: ScaleForm, now: ScaleInHand | None) -> ScaleInHand:
    """The bowings on the Bench stay chosen; they fit every key."""
    given = form.cleaned_data
    bowings = (now.bowing_1, now.bowing_2) if now else ("", "")
    scale = changes.move_scale(
        student, given["key"], form.form_of_scale, given["octaves"], given["since"], bowings
    )
    changes.set_scale_tempo(scale, given["tempo_now"], given["tempo_goal"])
    return scale
