"""Engravings as SVG files, and the same notes for the ear.

They hold notes only, nothing about a person, so no sign-in.
"""

from hashlib import sha256

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.utils.cache import get_conditional_response
from django.utils.http import quote_etag
from django.views.decorators.gzip import gzip_page
from django.views.decorators.http import require_GET

from practice.engraving.engrave import EngravingFailed
from practice.engraving.pictures import as_addressed, drawn, notes_for_the_ear
from practice.engraving.spec import parse_address
from practice.music.errors import MusicError
from practice.music.sounding import parse_a

_PUBLIC = "public, max-age=86400"  # no words: a header


@login_not_required
@gzip_page
@require_GET
def engraved(request: HttpRequest, path: str) -> HttpResponse:
    """One engraving; 404 with the reason in words where the address names none."""
    query = request.GET.dict()
    with as_addressed(query):
        try:
            engraving = drawn(*parse_address(path, query))
        except (MusicError, EngravingFailed) as error:
            return _unknown(error)
    etag = quote_etag(sha256(engraving.svg.encode()).hexdigest()[:20])
    response = HttpResponse(engraving.svg, content_type="image/svg+xml")
    response["ETag"] = etag
    response["Cache-Control"] = _PUBLIC
    return get_conditional_response(request, etag=etag, response=response) or response


@login_not_required
@gzip_page
@require_GET
def sounding(request: HttpRequest, path: str) -> HttpResponse:
    """When and how high each note of an engraving sounds, and where it stands in the picture.

    Query as for the picture, and `a`: Hz of the studio's A.
    """
    query = request.GET.dict()
    with as_addressed(query):
        try:
            found = notes_for_the_ear(*parse_address(path, query), a=parse_a(query.get("a", "")))
        except (MusicError, EngravingFailed) as error:
            return _unknown(error)
    response = JsonResponse(found)
    response["Cache-Control"] = _PUBLIC
    return response


def _unknown(error: Exception) -> HttpResponse:
    return HttpResponse(str(error), status=404, content_type="text/plain; charset=utf-8")
