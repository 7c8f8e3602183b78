"""Scores: dropped on a work, read page by page, their bars tapped into spots."""

from __future__ import annotations

import re
from typing import Any

from django.contrib import messages
from django.db import transaction
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.http import content_disposition_header
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from practice.engraving.engrave import EngravingFailed
from practice.engraving.pages import draw_page, pages_of
from practice.music.errors import MusicError
from practice.music.score import Score as Music
from practice.repertoire.changes import Refused, add_spot, move_etude
from practice.repertoire.forms import refuse
from practice.repertoire.guards import open_work, own_piece
from practice.repertoire.models import PieceInHand, Work
from practice.scores.forms import (
    USUAL_TEMPO,
    FileForm,
    TappedSpotForm,
    places_from,
    tempo_from,
)
from practice.scores.guards import own_score, pieces_for
from practice.scores.models import Score
from practice.scores.reading import hard_bars_of, music_of
from practice.scores.showing import (
    Tapped,
    advice,
    etude_now,
    in_hand,
    shown_page,
    shown_pages,
    spot_form,
    tapped_from,
)
from practice.scores.taking import take_bars, take_file
from studio import clock
from studio.record.models import What
from studio.record.noting import note
from studio.web.forms import answer
from studio.web.http import StudioRequest

SECTION = {"section": "repertoire"}


@require_http_methods(["GET", "HEAD", "POST"])
def add(request: StudioRequest, pk: int) -> HttpResponse:
    """A file is read before it is kept; one that cannot be read changes nothing."""
    work = open_work(request, pk)
    bound = request.method == "POST"
    form = FileForm(request.POST, request.FILES) if bound else FileForm()
    kept = _kept(request, work, form) if form.is_valid() else None
    if kept:
        asked = tapped_from(request.GET, pieces_for(request, kept))
        query = f"?piece={asked.piece.pk}" if "piece" in request.GET and asked.piece else ""
        return redirect(reverse("scores:score", args=[kept.pk]) + query)
    context = {"form": form, "work": work, "kept": work.scores.filter(studio=request.studio)}
    return render(request, "scores/add.html", context | SECTION, status=answer(form))


def _kept(request: StudioRequest, work: Work, form: FileForm) -> Score | None:
    try:
        score = take_file(request.studio, work, form.cleaned_data["file"])
    except MusicError as error:
        form.add_error("file", str(error))
    except EngravingFailed:
        form.add_error("file", _("The notes are read, but cannot be engraved."))
    else:
        same = work.scores.filter(studio=request.studio, digest=score.digest).first()
        if same is None:
            score.save()
            done = ngettext("“{name}” is read: {n} bar.", "“{name}” is read: {n} bars.", score.bars)
            messages.success(request, done.format(name=score.name, n=score.bars))
        return same or score
    return None


@require_GET
def of_piece(request: StudioRequest, pk: int) -> HttpResponse:
    """From a student's piece to its score, or to the place where one is dropped."""
    piece = own_piece(request, pk)
    score = piece.work.scores.filter(studio=request.studio).first()
    to = ("scores:add", piece.work_id) if score is None else ("scores:score", score.pk)
    return redirect(reverse(to[0], args=[to[1]]) + f"?piece={piece.pk}")


@require_GET
def score(request: StudioRequest, pk: int) -> HttpResponse:
    kept = own_score(request, pk)
    return _page(request, kept, tapped_from(request.GET, pieces_for(request, kept)))


@require_GET
def page(request: StudioRequest, pk: int, number: int) -> HttpResponse:
    """One engraved page as a picture; only for its own teacher, for an edition may be hers."""
    music = _with_page(own_score(request, pk), number)
    response = HttpResponse(draw_page(music, number).svg, content_type="image/svg+xml")
    # no words: a header
    response["Cache-Control"] = "private, max-age=86400"
    return response


@require_GET
def leaf(request: StudioRequest, pk: int, number: int) -> HttpResponse:
    """One page with its bars to tap; asked for when it comes into sight."""
    kept = own_score(request, pk)
    music = _with_page(kept, number)
    asked = tapped_from(request.GET, pieces_for(request, kept))
    hard = {bar.index for bar in hard_bars_of(kept, asked.tempo, asked.piece)}
    shown = shown_page(music, number, asked.places, hard)
    return render(request, "scores/leaf.html", {"score": kept, "page": shown})


def _with_page(kept: Score, number: int) -> Music:
    """The music, if it has that page; 404 if not."""
    try:
        music = music_of(kept)
        found = 1 <= number <= pages_of(music).count
    except (MusicError, EngravingFailed):
        raise Http404 from None
    if not found:
        raise Http404
    return music


@require_GET
def bars(request: StudioRequest, pk: int) -> HttpResponse:
    """The tapped bars as they would become a spot; asked for at each tap."""
    kept = own_score(request, pk)
    pieces = pieces_for(request, kept)
    asked = tapped_from(request.GET, pieces)
    return render(request, "scores/in_hand.html", _tapped(kept, asked, pieces))


@require_POST
def spot_add(request: StudioRequest, pk: int) -> HttpResponse:
    kept = own_score(request, pk)
    pieces = pieces_for(request, kept)
    form = TappedSpotForm(request.POST, request.FILES, pieces=pieces)
    asked = Tapped(tuple(places_from(request.POST.getlist("bar"))), None, 0)
    if form.is_valid():
        try:
            return _spot(request, kept, form, asked.places)
        except MusicError as error:
            form.add_error(None, str(error))
        except Refused as refused:
            refuse(form, refused)
    piece = next((p for p in pieces if str(p.pk) == request.POST.get("piece")), None)
    asked = Tapped(asked.places, piece, form.cleaned_data.get("tempo_goal") or 0)
    return _page(request, kept, asked, form)


def _spot(
    request: StudioRequest, kept: Score, form: TappedSpotForm, places: tuple[int, ...]
) -> HttpResponse:
    taken = take_bars(music_of(kept), places)
    piece = form.chosen_piece
    spot = add_spot(
        piece,
        taken.first_bar,
        taken.last_bar,
        form.cleaned_data["what"],
        form.cleaned_data["tempo_now"],
        form.cleaned_data["tempo_goal"],
        clock.today(request.studio),
        taken.abc,
        form.cleaned_data["easier_key"],
    )
    done = _("{work}, {bars}: a spot now.")
    if taken.bowing:
        done = _("{work}, {bars}: a spot now. Its bowing waits on the Bench.")
    messages.success(request, done.format(work=piece.work, bars=spot.label))
    return redirect(
        reverse("repertoire:of_student", args=[piece.student_id]) + f"#piece-{piece.pk}"
    )


@require_POST
def etude(request: StudioRequest, pk: int) -> HttpResponse:
    """An etude that trains what a hard bar asks for becomes the student's, from today."""
    kept = own_score(request, pk)
    numbers = [request.POST.get(name, "") for name in ("piece", "work")]
    if not all(re.fullmatch(r"[0-9]{1,9}", number) for number in numbers):
        raise Http404
    piece = next((p for p in pieces_for(request, kept) if str(p.pk) == numbers[0]), None)
    work = open_work(request, int(numbers[1]))
    if piece is None or work.kind != Work.Kind.ETUDE:
        raise Http404
    student = piece.student
    before = student.etudes.filter(until=None).exclude(work=work).select_related("work").first()
    try:
        move_etude(student, work, clock.today(request.studio))
    except Refused as refused:
        messages.error(request, refused.sentence)
    else:
        done = _("{work} is {name}’s etude now.")
        if before:
            done = _("{work} is {name}’s etude now. Before it: {before}.")
        about = {"work": work, "name": student.given_name, "before": before and before.work}
        messages.success(request, done.format(**about))
    asked = Tapped((), piece, tempo_from(request.POST.get("tempo", "")))
    return redirect(reverse("scores:score", args=[kept.pk]) + f"?{asked.query}#hard")


@require_GET
def file(request: StudioRequest, pk: int) -> HttpResponse:
    """The file as it came."""
    kept = own_score(request, pk)
    response = HttpResponse(bytes(kept.data), content_type="application/octet-stream")
    disposition = content_disposition_header(as_attachment=True, filename=kept.name)
    response["Content-Disposition"] = disposition or "attachment"
    return response


@require_POST
def remove(request: StudioRequest, pk: int) -> HttpResponse:
    kept = own_score(request, pk)
    with transaction.atomic():
        kept.delete()
        note(request, What.ERASED, _("a score"))
    done = _("“{name}” is removed. Spots made from it keep their bars.")
    messages.success(request, done.format(name=kept.name))
    return redirect("repertoire:work", kept.work_id)


def _page(
    request: StudioRequest, kept: Score, asked: Tapped, form: TappedSpotForm | None = None
) -> HttpResponse:
    pieces = pieces_for(request, kept)
    asked = Tapped(asked.places, asked.piece, asked.tempo or USUAL_TEMPO, asked.page)
    context: dict[str, Any] = {"section": "repertoire", "score": kept, "asked": asked}
    try:
        music = music_of(kept)
        hard = hard_bars_of(kept, asked.tempo, asked.piece)
        pages = shown_pages(music, asked, {bar.index for bar in hard})
    except (MusicError, EngravingFailed) as error:
        context["trouble"] = str(error)
        return render(request, "scores/score.html", context)
    context |= {
        "music": music,
        "pages": pages,
        "pieces": pieces,
        "advice": advice(request.studio, hard, kept.work.difficulty),
        "etude_now": etude_now(asked),
        **_tapped(kept, asked, pieces, form),
    }
    return render(request, "scores/score.html", context, status=answer(form) if form else 200)


def _tapped(
    kept: Score, asked: Tapped, pieces: list[PieceInHand], form: TappedSpotForm | None = None
) -> dict[str, Any]:
    """Context of the bars in hand: them, or why they cannot be taken."""
    context: dict[str, Any] = {"score": kept, "asked": asked, "pieces": pieces}
    if form is not None:
        context["form"] = form
    if asked.places:
        try:
            context["hand"] = in_hand(music_of(kept), asked.places)
        except MusicError as error:
            return context | {"refused": str(error)}
        context.setdefault("form", spot_form(pieces, asked))
    return context
