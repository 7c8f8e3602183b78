"""The fingers of the scale in hand: what the program would play, and what the teacher writes."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from practice.music.keys import key_told
from practice.repertoire import changes
from practice.repertoire.fingering_form import FingeringForm
from practice.repertoire.forms import refuse
from practice.repertoire.scale_shown import shown_scale
from studio.people.guards import own_student
from studio.web.forms import posted
from studio.web.fragments import page_or_fragment
from studio.web.http import StudioRequest


@require_http_methods(["GET", "HEAD", "POST"])
def fingering(request: StudioRequest, pk: int) -> HttpResponse:
    """Only Save keeps; every other press, and every change with script, shows it engraved."""
    student = own_student(request, pk)
    scale = student.scales.filter(until=None).first()
    if scale is None:
        raise Http404
    press = request.POST.get("press", "")
    form = FingeringForm(**posted(request), scale=scale)
    if press == "clear":
        form = FingeringForm(scale=scale, empty=True)
    elif form.is_valid() and press == "keep":
        try:
            changes.set_fingering(scale, form.how)
        except changes.Refused as refused:
            refuse(form, refused)
        else:
            done = _("The fingers of {key} are kept.").format(key=key_told(scale.key))
            messages.success(request, done)
            return redirect("repertoire:fingering", student.pk)
    shown = shown_scale(*scale.named, form.how, whole=True)
    context = {"form": form, "student": student, "scale": scale, "shown": shown}
    context |= {"unsaved": request.method == "POST", "section": "students"}
    page, part = "repertoire/fingering.html", "repertoire/fingering_shown.html"
    return page_or_fragment(request, page, part, context, status=422 if form.errors else 200)
