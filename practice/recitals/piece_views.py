"""Choosing who plays what, their lengths and character, and one piece by itself."""

from __future__ import annotations

import datetime as dt

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods, require_POST

from practice.programme.timing import guess, said
from practice.recitals import pieces
from practice.recitals.forms import PerformanceForm, RowForm
from practice.recitals.guards import own_programme, performance_of
from practice.recitals.order import follow, names_of, performances_of, players_of, who
from practice.recitals.views import GET_OR_POST, SECTION
from studio.web.forms import answer, posted
from studio.web.http import StudioRequest

A_QUARTER = dt.timedelta(weeks=13)
FEW = 3  # pieces of one student


@require_http_methods(GET_OR_POST)
def choose(request: StudioRequest, pk: int) -> HttpResponse:
    """Every student with what she has ready; ticked ones come into the programme.

    A few of each and of the last quarter of a year; all with `?earlier`.
    """
    programme = own_programme(request, pk)
    lately = programme.recital.date - A_QUARTER
    everything = request.method == "POST" or "earlier" in request.GET
    since = dt.date.min if everything else lately
    found = pieces.offers(request.studio, programme, since)
    if request.method == "POST":
        ticked = set(request.POST.getlist("offer"))
        chosen = [offer for _, offers in found for offer in offers if offer.key in ticked]
        taken = pieces.take(programme, chosen)
        _tell(request, taken)
        return redirect("recitals:lengths" if taken.count else "recitals:recital", pk)
    shown = found if everything else [(student, _few(offers)) for student, offers in found]
    more = not everything and (shown != found or pieces.finished_before(request.studio, since))
    context = {"recital": programme.recital, "students": shown, "more": more, **SECTION}
    return render(request, "recitals/choose.html", context)


def _few(offers: list[pieces.Offer]) -> list[pieces.Offer]:
    """The first, and those that are in the programme."""
    return [each for place, each in enumerate(offers) if place < FEW or each.taken]


def _tell(request: StudioRequest, taken: pieces.Taken) -> None:
    if not taken.count:
        messages.info(request, _("No piece was ticked that is not in the programme yet."))
    else:
        messages.success(request, _taken(taken))
    if taken.too_many:
        words = _("{n} found no room: a programme holds {most} pieces.")
        messages.error(request, words.format(n=taken.too_many, most=pieces.MOST_PIECES))


def _taken(taken: pieces.Taken) -> str:
    if taken.drafted:
        words = ngettext(
            "{n} piece is in the programme, and the order is drafted anew.",
            "{n} pieces are in the programme, and the order is drafted anew.",
            taken.count,
        )
    else:
        words = ngettext(
            "{n} piece is in the programme, at the end.",
            "{n} pieces are in the programme, at the end.",
            taken.count,
        )
    return words.format(n=taken.count)


@require_http_methods(GET_OR_POST)
def lengths(request: StudioRequest, pk: int) -> HttpResponse:
    """Length, character and piano of all pieces on one page."""
    programme = own_programme(request, pk)
    rows = performances_of(programme)
    names = names_of(rows)
    forms = [
        (each, RowForm(**posted(request), instance=each, prefix=str(each.pk))) for each in rows
    ]
    wrong = [form for _each, form in forms if form.is_bound and not form.is_valid()]
    if request.method == "POST" and not wrong:
        for _each, form in forms:
            form.save()
        words = (
            _("Lengths and characters are kept; the order is drafted anew.")
            if follow(programme)
            else _("Lengths and characters are kept; your order stays as you moved it.")
        )
        messages.success(request, words)
        return redirect("recitals:recital", pk)
    context = {
        "recital": programme.recital,
        "rows": [
            (each, who(each, names), said(guess(each.work.kind)), form) for each, form in forms
        ],
        "wrong": [
            (form[name].auto_id, who(form.instance, names), error)
            for form in wrong
            for name, errors in form.errors.items()
            for error in errors
            if name in form.fields
        ],
        **SECTION,
    }
    return render(request, "recitals/lengths.html", context, status=422 if wrong else 200)


@require_http_methods(GET_OR_POST)
def piece(request: StudioRequest, pk: int, piece: int) -> HttpResponse:
    """One piece: also who plays it together with the student."""
    programme = own_programme(request, pk)
    each = performance_of(programme, piece)
    context = {
        "recital": programme.recital,
        "each": each,
        "players": players_of([each]),  # as stored, before the form puts in whom it was given
        "guess": said(guess(each.work.kind)) if each.seconds is None else "",
        **SECTION,
    }
    form = PerformanceForm(**posted(request), instance=each)
    if form.is_valid():
        pieces.keep(form.save(commit=False))
        words = (
            _("{work} is kept; the order is drafted anew.")
            if follow(programme)
            else _("{work} is kept; your order stays as you moved it.")
        )
        messages.success(request, words.format(work=each.work))
        return redirect("recitals:recital", pk)
    return render(request, "recitals/piece.html", {**context, "form": form}, status=answer(form))


@require_POST
def remove(request: StudioRequest, pk: int, piece: int) -> HttpResponse:
    programme = own_programme(request, pk)
    each = performance_of(programme, piece)
    pieces.give_back(each)
    words = _("{name} does not play {work} any more.")
    messages.success(request, words.format(name=each.student.given_name, work=each.work))
    return redirect("recitals:recital", pk)
