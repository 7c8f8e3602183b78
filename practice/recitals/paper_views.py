"""What leaves the program: programme, invitation, and thanks."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.http import content_disposition_header
from django.utils.text import slugify
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_safe

from practice.recitals.forms import ThanksForm
from practice.recitals.guards import own_programme
from practice.recitals.models import Programme
from practice.recitals.printing import programme_pdf, thanks_pdf
from practice.recitals.thanking import Thanked, keep, thanked
from practice.recitals.views import GET_OR_POST, SECTION
from studio.lessons import feed
from studio.web.forms import answer, posted
from studio.web.http import StudioRequest
from studio.web.pdf import PrintingMissing


@require_GET
def programme(request: StudioRequest, pk: int) -> HttpResponse:
    found = own_programme(request, pk)
    if not found.performances.exists():
        # no words: for programmers
        raise Http404("There is no piece in the programme yet.")
    try:
        body = programme_pdf(found)
    except PrintingMissing as trouble:
        return _not_printed(request, found, trouble)
    name = _("{recital} programme").format(recital=found.recital.name)
    return _file(body, "application/pdf", f"{name}.pdf")


@require_safe
def invitation(request: StudioRequest, pk: int) -> HttpResponse:
    """The recital as a calendar entry; the same identity as in the families' calendars."""
    recital = own_programme(request, pk).recital
    body = feed.stream(request.studio, recital.name, [], {}, recitals=[recital])
    return _file(body, feed.MEDIA_TYPE, f"{recital.name}.ics", attached=True)


@require_http_methods(GET_OR_POST)
def thanks(request: StudioRequest, pk: int) -> HttpResponse:
    found = own_programme(request, pk)
    pages = thanked(found)
    players = [(each.student.pk, each.name) for each in pages]
    initial = {f"words_{each.student.pk}": each.own for each in pages}
    form = ThanksForm(
        **posted(request), players=players, initial={"thanks": found.thanks, **initial}
    )
    if form.is_valid():
        words = form.cleaned_data
        keep(found, words["thanks"], {pk: words[f"words_{pk}"] for pk, _ in players})
        if request.POST.get("then") == "print":
            return redirect("recitals:thanks-pdf", pk)
        messages.success(request, _("Your words are kept."))
        return redirect("recitals:thanks", pk)
    rows = [(each, form[f"words_{each.student.pk}"]) for each in pages]
    context = {"recital": found.recital, "form": form, "rows": rows, **SECTION}
    return render(request, "recitals/thanks.html", context, status=answer(form))


@require_GET
def all_thanks_pdf(request: StudioRequest, pk: int) -> HttpResponse:
    found = own_programme(request, pk)
    return _thanks(request, found, thanked(found), _name(found))


@require_GET
def one_thanks_pdf(request: StudioRequest, pk: int, student: int) -> HttpResponse:
    found = own_programme(request, pk)
    pages = [each for each in thanked(found) if each.student.pk == student]
    return _thanks(
        request, found, pages, f"{_name(found)} {pages[0].student.given_name if pages else ''}"
    )


def _name(found: Programme) -> str:
    return _("{recital} thanks").format(recital=found.recital.name)


def _thanks(
    request: StudioRequest, found: Programme, pages: list[Thanked], name: str
) -> HttpResponse:
    if not pages:
        # no words: for programmers
        raise Http404("Nobody plays yet.")
    try:
        body = thanks_pdf(found, pages)
    except PrintingMissing as trouble:
        return _not_printed(request, found, trouble)
    return _file(body, "application/pdf", f"{name}.pdf")


def _file(body: bytes, kind: str, name: str, *, attached: bool = False) -> HttpResponse:
    stem, _dot, ending = name.rpartition(".")
    filename = f"{slugify(stem, allow_unicode=True) or 'recital'}.{ending}"
    disposition = content_disposition_header(as_attachment=attached, filename=filename) or "inline"
    return HttpResponse(body, content_type=kind, headers={"Content-Disposition": disposition})


def _not_printed(request: StudioRequest, found: Programme, trouble: Exception) -> HttpResponse:
    context = {"sentence": str(trouble), "recital": found.recital, **SECTION}
    return render(request, "recitals/not_printed.html", context, status=503)
