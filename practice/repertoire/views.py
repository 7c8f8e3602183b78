"""Pieces, spots and favourites of one student."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from practice.music.errors import MusicError
from practice.music.keys import key_told
from practice.repertoire import changes
from practice.repertoire.excerpts import easier_bars, easier_keys, read_bars
from practice.repertoire.forms import PieceForm, SpotForm, refuse
from practice.repertoire.guards import own_favourite, own_piece, own_spot
from practice.repertoire.models import PieceInHand, Spot
from practice.repertoire.page import change, repertoire_page
from studio import clock
from studio.people.guards import own_student
from studio.web.forms import answer, posted
from studio.web.http import StudioRequest


@require_GET
def of_student(request: StudioRequest, pk: int) -> HttpResponse:
    return repertoire_page(request, own_student(request, pk))


@require_http_methods(["GET", "HEAD", "POST"])
def piece_edit(request: StudioRequest, pk: int) -> HttpResponse:
    piece = own_piece(request, pk)
    form = PieceForm(**posted(request), instance=piece, today=clock.today(request.studio))
    if form.is_valid():
        form.save()
        messages.success(request, _("{work} is saved.").format(work=piece.work))
        return redirect(_place_of(piece))
    context = {"form": form, "piece": piece, "section": "students"}
    return render(request, "repertoire/piece_edit.html", context, status=answer(form))


@require_POST
def piece_stage(request: StudioRequest, pk: int) -> HttpResponse:
    piece = own_piece(request, pk)
    stage = request.POST.get("stage", "")
    today = clock.today(request.studio)
    return change(
        request,
        piece.student,
        lambda: changes.set_stage(piece, stage, today),
        f"{piece.work}: {dict(PieceInHand.Stage.choices).get(stage, '')}.",
        f"#piece-{piece.pk}",
    )


@require_POST
def piece_finish(request: StudioRequest, pk: int) -> HttpResponse:
    piece = own_piece(request, pk)
    favourite = request.POST.get("favourite") == "1"
    today = clock.today(request.studio)
    done = _("{work} is finished and a favourite now.") if favourite else _("{work} is finished.")
    return change(
        request,
        piece.student,
        lambda: changes.finish_piece(piece, today, favourite),
        done.format(work=piece.work),
    )


@require_POST
def piece_set_aside(request: StudioRequest, pk: int) -> HttpResponse:
    piece = own_piece(request, pk)
    today = clock.today(request.studio)
    return change(
        request,
        piece.student,
        lambda: changes.set_aside(piece, today),
        _("{work} is set aside; its spots wait.").format(work=piece.work),
    )


@require_POST
def piece_put_back(request: StudioRequest, pk: int) -> HttpResponse:
    piece = own_piece(request, pk)
    return change(
        request,
        piece.student,
        lambda: changes.put_back(piece),
        _("{work} is in hand again.").format(work=piece.work),
        f"#piece-{piece.pk}",
    )


@require_http_methods(["GET", "HEAD", "POST"])
def spot_add(request: StudioRequest, pk: int) -> HttpResponse:
    piece = own_piece(request, pk)
    form = SpotForm(**posted(request), key=piece.work.key)
    if form.is_valid():
        try:
            spot = changes.add_spot(piece, day=clock.today(request.studio), **form.cleaned_data)
        except changes.Refused as refused:
            refuse(form, refused)
        else:
            done = _("{work}, {bars}: a spot now.").format(work=piece.work, bars=spot.label)
            messages.success(request, done)
            return redirect(_place_of(piece))
    return _spot_form(request, form, piece, None)


@require_http_methods(["GET", "HEAD", "POST"])
def spot_edit(request: StudioRequest, pk: int) -> HttpResponse:
    spot = own_spot(request, pk)
    initial = {name: getattr(spot, name) for name in SpotForm.base_fields}
    form = SpotForm(**posted(request), key=spot.piece.work.key, initial=initial)
    if form.is_valid():
        try:
            changes.change_spot(spot, **form.cleaned_data)
        except changes.Refused as refused:
            refuse(form, refused)
        else:
            done = _("{work}, {bars}: saved.").format(work=spot.piece.work, bars=spot.label)
            messages.success(request, done)
            return redirect(_place_of(spot.piece))
    return _spot_form(request, form, spot.piece, own_spot(request, pk))


def _spot_form(
    request: StudioRequest, form: SpotForm, piece: PieceInHand, spot: Spot | None
) -> HttpResponse:
    kept = (spot.excerpt, spot.easier_key) if spot else ("", "")
    if form.is_bound:
        given = form.cleaned_data
        kept = (given.get("excerpt", ""), given.get("easier_key", ""))
    context = {"form": form, "piece": piece, "spot": spot, "section": "students"}
    context |= _excerpt(*kept)
    return render(request, "repertoire/spot_edit.html", context, status=answer(form))


@require_GET
def excerpt_preview(request: StudioRequest, pk: int) -> HttpResponse:
    """The bars as engraved, or why they cannot be read; asked for while they are typed."""
    piece = own_piece(request, pk)
    try:
        abc = read_bars(request.GET.get("excerpt", ""), piece.work.key)
        context = _excerpt(abc, request.GET.get("easier_key", ""))
    except MusicError as error:
        context = {"trouble": str(error)}
    return render(request, "repertoire/excerpt_choice.html", context)


def _excerpt(abc: str, easier_key: str) -> dict[str, Any]:
    """The bars, the simpler keys they can be moved to, and the chosen one of these."""
    keys = easier_keys(abc)
    chosen = easier_key if easier_key in keys else ""
    choices = [(key, key_told(key)) for key in keys]
    return {"abc": abc, "keys": choices, "chosen": chosen, "moved": easier_bars(abc, chosen)}


@require_POST
def spot_state(request: StudioRequest, pk: int) -> HttpResponse:
    spot = own_spot(request, pk)
    state = request.POST.get("state", "")
    today = clock.today(request.studio)
    return change(
        request,
        spot.piece.student,
        lambda: changes.set_spot_state(spot, state, today),
        f"{spot.piece.work}, {spot.label}: {dict(Spot.State.choices).get(state, '')}.",
        f"#piece-{spot.piece_id}",
    )


@require_POST
def spot_first(request: StudioRequest, pk: int) -> HttpResponse:
    spot = own_spot(request, pk)
    return change(
        request,
        spot.piece.student,
        lambda: changes.put_spot_first(spot),
        _("{work}: {bars} comes first now.").format(work=spot.piece.work, bars=spot.label),
        f"#piece-{spot.piece_id}",
    )


@require_POST
def favourite_retire(request: StudioRequest, pk: int) -> HttpResponse:
    favourite = own_favourite(request, pk)
    today = clock.today(request.studio)
    return change(
        request,
        favourite.student,
        lambda: changes.retire_favourite(favourite, today),
        _("{work} is no longer a favourite.").format(work=favourite.work),
        "#favourites",
    )


def _place_of(piece: PieceInHand) -> str:
    return reverse("repertoire:of_student", args=[piece.student_id]) + f"#piece-{piece.pk}"
