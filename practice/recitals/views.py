"""Recitals of the studio: the list, one of them with its programme, its day and place."""

from __future__ import annotations

from django.contrib import messages
from django.db import transaction
from django.db.models import Count
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from practice.recitals.forms import ProgrammeForm, RecitalForm
from practice.recitals.guards import own_programme
from practice.recitals.models import Programme
from practice.recitals.order import follow
from practice.recitals.showing import day_words, shown
from studio import clock
from studio.terms.models import Recital, Term
from studio.web.forms import posted
from studio.web.http import StudioRequest

GET_OR_POST = ["GET", "POST"]
LATELY = 6  # recitals
SECTION = {"section": "calendar", "room": "terms"}


@require_GET
def recitals(request: StudioRequest) -> HttpResponse:
    """Those to come, the next one first; then those that were last, or with `?earlier` all."""
    today = clock.today(request.studio)
    rows = list(
        Programme.objects.filter(recital__studio=request.studio)
        .select_related("recital")
        .annotate(pieces=Count("performances"))
        .order_by("recital__date", "recital__starts")
    )
    past = [row for row in reversed(rows) if row.recital.date < today]
    latest = past if "earlier" in request.GET else past[:LATELY]
    context = {
        "coming": [row for row in rows if row.recital.date >= today],
        "past": latest,
        "has_earlier": len(latest) < len(past),
        **SECTION,
    }
    return render(request, "recitals/recitals.html", context)


@require_GET
def recital(request: StudioRequest, pk: int) -> HttpResponse:
    moved, way = request.GET.get("moved", ""), request.GET.get("way", "")
    programme = own_programme(request, pk)
    return recital_page(request, programme, "recitals/recital.html", moved, way)


def recital_page(
    request: StudioRequest, programme: Programme, template: str, moved: str, way: str
) -> HttpResponse:
    """The page, or its part; `moved` and `way` say which button has the focus."""
    context = {
        "shown": shown(programme, clock.today(request.studio)),
        "moved": moved,
        "way": way,
        **SECTION,
    }
    return render(request, template, context)


@require_http_methods(GET_OR_POST)
def add(request: StudioRequest) -> HttpResponse:
    recital = Recital(studio=request.studio)
    return _form(request, recital, Programme(recital=recital))


@require_http_methods(GET_OR_POST)
def change(request: StudioRequest, pk: int) -> HttpResponse:
    programme = own_programme(request, pk)
    return _form(request, programme.recital, programme)


def _form(request: StudioRequest, recital: Recital, programme: Programme) -> HttpResponse:
    form = RecitalForm(**posted(request), instance=recital)
    how = ProgrammeForm(**posted(request), instance=programme)
    if form.is_valid() and how.is_valid():
        _save(form, how)
        today = clock.today(request.studio)
        for words in day_words(recital, Term.objects.of(request.studio).on(recital.date), today):
            messages.warning(request, words)
        return redirect("recitals:recital", recital.pk)
    wrong = form.is_bound and (form.errors or how.errors)
    context = {"form": form, "how": how, "recital": recital, **SECTION}
    return render(request, "recitals/form.html", context, status=422 if wrong else 200)


@transaction.atomic
def _save(form: RecitalForm, how: ProgrammeForm) -> None:
    recital = form.save(commit=False)
    if recital.pk and set(form.changed_data) & set(Recital.SAID):
        recital.told()
    else:
        recital.save()
    how.instance.recital = recital
    follow(how.save())


@require_POST
def call_off(request: StudioRequest, pk: int) -> HttpResponse:
    recital = own_programme(request, pk).recital
    if not recital.called_off:
        recital.called_off = True
        recital.told()
    words = _("{recital} is called off. Calendars of the families follow.")
    messages.success(request, words.format(recital=recital.name))
    return redirect("recitals:recital", pk)


@require_POST
def hold(request: StudioRequest, pk: int) -> HttpResponse:
    """It takes place after all."""
    recital = own_programme(request, pk).recital
    if recital.called_off:
        recital.called_off = False
        recital.told()
    messages.success(request, _("{recital} takes place.").format(recital=recital.name))
    return redirect("recitals:recital", pk)


@require_POST
def remove(request: StudioRequest, pk: int) -> HttpResponse:
    """Only one without pieces; one that families know of is called off."""
    programme = own_programme(request, pk)
    count = programme.performances.count()
    if count:
        words = ngettext(
            "{recital} has {n} piece; call it off.",
            "{recital} has {n} pieces; call it off.",
            count,
        )
        messages.error(request, words.format(recital=programme.recital.name, n=count))
        return redirect("recitals:recital", pk)
    programme.recital.delete()
    words = _("{recital} is taken out.")
    messages.success(request, words.format(recital=programme.recital.name))
    return redirect("recitals:recitals")
