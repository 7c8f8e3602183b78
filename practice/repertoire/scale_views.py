"""The scale in hand: a key, its form and octaves, and the tempo."""

from __future__ import annotations

from typing import Any, Final

from django.contrib import messages
from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from practice.music.errors import MusicError
from practice.music.how import carried_over
from practice.music.keys import key_told
from practice.repertoire import changes
from practice.repertoire.forms import ScaleForm, refuse
from practice.repertoire.models import ScaleInHand
from practice.repertoire.scale_shown import shown_scale
from studio import clock
from studio.people.guards import own_student
from studio.people.models import Student
from studio.web.forms import answer, posted
from studio.web.http import StudioRequest

FIRST_KEY: Final = "A major"  # on the open A and E strings: common practice, no source


@require_http_methods(["GET", "HEAD", "POST"])
def scale(request: StudioRequest, pk: int) -> HttpResponse:
    """Move on to another scale, or give the one in hand another tempo."""
    student = own_student(request, pk)
    today = clock.today(request.studio)
    now = student.scales.filter(until=None).first()
    initial = {"since": today, "key": FIRST_KEY, "octaves": 1, "string": "", "over": 0}
    if now:
        initial |= {
            "key": now.key,
            "octaves": now.octaves,
            "string": now.string,
            "over": now.over_top,
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
            messages.success(request, _("{key} is in hand.").format(key=key_told(saved.key)))
            return redirect(reverse("repertoire:of_student", args=[student.pk]) + "#scale")
    context: dict[str, Any] = {"form": form, "student": student, "now": now, "section": "students"}
    if now:
        context["shown"] = shown_scale(*now.named, now.how)
    return render(request, "repertoire/scale.html", context, status=answer(form))


@require_GET
def scale_preview(request: StudioRequest, pk: int) -> HttpResponse:
    """The scale as engraved, asked for while it is chosen; nothing while it is half chosen."""
    student = own_student(request, pk)
    form = ScaleForm(request.GET, today=clock.today(request.studio))
    form.is_valid()
    given = form.cleaned_data
    context: dict[str, Any] = {}
    if {"key", "octaves", "minor_form", "string", "over"} <= given.keys():
        now = student.scales.filter(until=None).first()
        wanted = (given["key"], form.form_of_scale, given["octaves"])
        try:
            how = carried_over((now.named, now.how) if now else None, wanted, form.how)
            context = {"shown": shown_scale(*wanted, how)}
        except MusicError as error:
            context = {"trouble": str(error)}
    return render(request, "repertoire/scale_picture.html", context)


def _take(student: Student, form: ScaleForm, now: ScaleInHand | None) -> ScaleInHand:
    """The bowings on the Bench stay chosen; they fit every key."""
    given = form.cleaned_data
    bowings = (now.bowing_1, now.bowing_2) if now else ("", "")
    wanted = (given["key"], form.form_of_scale, given["octaves"])
    scale = changes.move_scale(student, *wanted, given["since"], bowings, form.how)
    changes.set_scale_tempo(scale, given["tempo_now"], given["tempo_goal"])
    return scale
