"""The order moved by hand, the interval, and drafting anew: each by a button of its own."""

from __future__ import annotations

from collections.abc import Iterable
from urllib.parse import urlencode

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from practice.programme.rules import weight
from practice.recitals import order
from practice.recitals.guards import own_programme, performance_of
from practice.recitals.models import Programme
from practice.recitals.views import SECTION, recital_page
from studio.web.fragments import wants_fragment
from studio.web.http import StudioRequest

EARLIER, LATER = "earlier", "later"


@require_POST
def earlier(request: StudioRequest, pk: int, piece: int) -> HttpResponse:
    return _moved(request, pk, piece, EARLIER)


@require_POST
def later(request: StudioRequest, pk: int, piece: int) -> HttpResponse:
    return _moved(request, pk, piece, LATER)


def _moved(request: StudioRequest, pk: int, piece: int, way: str) -> HttpResponse:
    programme = own_programme(request, pk)
    each = performance_of(programme, piece)
    bent = order.move(programme, each.pk, -1 if way == EARLIER else 1)
    return _answer(request, programme, str(each.pk), way, bent)


@require_POST
def interval_earlier(request: StudioRequest, pk: int) -> HttpResponse:
    return _interval(request, pk, EARLIER)


@require_POST
def interval_later(request: StudioRequest, pk: int) -> HttpResponse:
    return _interval(request, pk, LATER)


def _interval(request: StudioRequest, pk: int, way: str) -> HttpResponse:
    programme = own_programme(request, pk)
    after = programme.interval_after + (-1 if way == EARLIER else 1)
    bent = order.put_interval(programme, max(1, after))
    return _answer(request, programme, "interval", way, bent)


@require_POST
def interval_add(request: StudioRequest, pk: int) -> HttpResponse:
    """In the middle, as pieces are counted."""
    programme = own_programme(request, pk)
    bent = order.put_interval(programme, programme.performances.count() // 2)
    return _answer(request, programme, "interval", LATER, bent)


@require_POST
def interval_remove(request: StudioRequest, pk: int) -> HttpResponse:
    programme = own_programme(request, pk)
    return _answer(request, programme, "", "", order.put_interval(programme, 0))


def _answer(
    request: StudioRequest, programme: Programme, moved: str, way: str, bent: Iterable[str]
) -> HttpResponse:
    """The part with the focus where it was, or back to the page."""
    for words in bent:
        messages.warning(request, _("Now it bends a rule: {words}").format(words=words))
    query = urlencode({"moved": moved, "way": way})
    if wants_fragment(request):
        return recital_page(request, programme, "recitals/programme.html", moved, way)
    return redirect(f"{reverse('recitals:recital', args=[programme.recital_id])}?{query}")


@require_POST
def draft(request: StudioRequest, pk: int) -> HttpResponse:
    """Asks first where pieces were moved by hand."""
    programme = own_programme(request, pk)
    if programme.moved_by_hand and request.POST.get("sure") != "yes":
        context = {"recital": programme.recital, **SECTION}
        return render(request, "recitals/sure.html", context, status=422)
    found = order.draft_anew(programme)
    rows = order.performances_of(programme)
    if not weight(order.bent(programme, rows)):
        messages.success(request, _("The order is drafted; every rule holds."))
    elif found.is_best:
        words = _("The order is drafted. No order of these pieces bends less.")
        messages.warning(request, words)
    else:
        words = _("The order is drafted. Not every order was tried; another may bend less.")
        messages.warning(request, words)
    return redirect("recitals:recital", pk)
