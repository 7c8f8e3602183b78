"""The teacher's own bowings: made by tapping, listed, changed, removed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.db.models import Q
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from practice.bowings.draft import MARKS, METRES, VALUES, Draft, draft_from, draft_of
from practice.engraving.engrave import EngravingFailed, Layout
from practice.engraving.pictures import Picture, picture
from practice.engraving.spec import Spec
from practice.music.bowing_list import BOWINGS
from practice.music.bowings import Pattern, pattern_from_json
from practice.music.errors import BadRhythm, MusicError
from practice.music.exercise import pour
from practice.music.fit import fit
from practice.music.keys import parse_key
from practice.music.scales import scale
from practice.repertoire.models import Bowing, ScaleInHand
from practice.sheets.bowed import bowing_name
from studio.web.fragments import page_or_fragment
from studio.web.http import StudioRequest

SECTION = {"section": "repertoire"}
KEY = parse_key("G major")
CARD, WHOLE = Layout(6.6, None), Layout(7.4, 170.0)


def own_bowing(request: StudioRequest, pk: int) -> Bowing:
    return get_object_or_404(Bowing, pk=pk, studio=request.studio)


@dataclass(frozen=True)
class Shown:
    pattern: Pattern
    card: Picture | None
    bowing: Bowing | None = None


@require_GET
def bowings(request: StudioRequest) -> HttpResponse:
    """Her own first, then the list every studio has."""
    rows = Bowing.objects.filter(studio=request.studio)
    own = [Shown(pattern_from_json(row.pattern), _card(row), row) for row in rows]
    listed = [Shown(each, _drawn(Spec("card", KEY, "major", 1, each), CARD)) for each in BOWINGS]
    return render(request, "bowings/bowings.html", {"own": own, "listed": listed, **SECTION})


def _card(row: Bowing) -> Picture | None:
    pattern = pattern_from_json({**row.pattern, "name": row.name})
    return _drawn(Spec("card", KEY, "major", 1, pattern), CARD)


@require_http_methods(["GET", "HEAD", "POST"])
def make(request: StudioRequest) -> HttpResponse:
    return _bench(request, Bowing(studio=request.studio), Draft())


@require_http_methods(["GET", "HEAD", "POST"])
def edit(request: StudioRequest, pk: int) -> HttpResponse:
    row = own_bowing(request, pk)
    return _bench(request, row, draft_of(pattern_from_json(row.pattern), row.name))


@require_POST
def remove(request: StudioRequest, pk: int) -> HttpResponse:
    """Only one that is on no scale in hand: a sheet would lose it."""
    row = own_bowing(request, pk)
    name = f"own:{row.pk}"
    on_it = Q(bowing_1=name) | Q(bowing_2=name)
    on_it |= Q(bowing_1__startswith=f"{name}+") | Q(bowing_2__startswith=f"{name}+")
    if ScaleInHand.objects.filter(on_it, until=None).exists():
        sentence = _("“{name}” stays: it is on a student’s scale now.")
        messages.error(request, sentence.format(name=row))
    else:
        row.delete()
        messages.success(request, _("“{name}” is removed.").format(name=row))
    return redirect("bowings:bowings")


def _bench(request: StudioRequest, row: Bowing, kept: Draft) -> HttpResponse:
    """Every press posts the whole form and gets it back one step on; only Keep saves."""
    posted = request.method == "POST"
    press = request.POST.get("press", "")
    draft = draft_from(request.POST).pressed(press) if posted else kept
    trouble = ""
    if press == "keep":
        trouble = _trouble(row, draft)
        if not trouble:
            row.save()
            done = _("“{name}” is kept. The Bench offers it on every scale.")
            messages.success(request, done.format(name=row))
            return redirect("bowings:bowings")
    context = _context(draft) | {"row": row, "trouble": trouble} | SECTION
    status = 422 if trouble else 200
    page, part = "bowings/make.html", "bowings/make_form.html"
    return page_or_fragment(request, page, part, context, status=status)


def _trouble(row: Bowing, draft: Draft) -> str:
    """Puts the draft on the row; what keeps it from being saved, in a sentence."""
    try:
        pattern = draft.pattern()
    except BadRhythm as error:
        return str(error)
    row.name = draft.name or bowing_name(pattern)
    row.pattern = pattern.as_json()
    try:
        row.full_clean()
    except ValidationError as error:
        return str(next(iter(error.message_dict.values()))[0])
    return ""


def _context(draft: Draft) -> dict[str, Any]:
    context: dict[str, Any] = {
        "draft": draft,
        "metres": METRES,
        "values": VALUES,
        "marks": MARKS,
    }
    if not draft.notes:
        return context
    try:
        pattern = draft.pattern()
        made = _drawn(Spec("bowing", KEY, "major", 1, pattern), WHOLE)
        exercise = pour(pattern, scale(KEY, "major", 1))
    except MusicError as error:
        return context | {"cannot": str(error)}
    return context | {
        "picture": made,
        "fit": fit(pattern, pattern.metre).words,
        "remarks": [each for each in (exercise.bow_remark, exercise.completion) if each],
        "usual_name": bowing_name(pattern),
    }


def _drawn(spec: Spec, layout: Layout) -> Picture | None:
    try:
        return picture(spec, layout)
    except (MusicError, EngravingFailed):
        return None
