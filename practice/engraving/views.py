"""Engravings as SVG files. They hold notes only, nothing about a person, so no sign-in."""

from hashlib import sha256

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.utils.cache import get_conditional_response
from django.utils.http import quote_etag
from django.views.decorators.http import require_GET

from practice.engraving.engrave import EngravingFailed
from practice.engraving.pictures import drawn
from practice.engraving.spec import parse_address
from practice.music.errors import MusicError

_DAY = 86400


@login_not_required
@require_GET
def engraved(request: HttpRequest, path: str) -> HttpResponse:
    """One engraving; 404 with the reason in words where the address names none."""
    try:
        engraving = drawn(*parse_address(path, request.GET.dict()))
    except (MusicError, EngravingFailed) as error:
        return HttpResponse(str(error), status=404, content_type="text/plain; charset=utf-8")
    etag = quote_etag(sha256(engraving.svg.encode()).hexdigest()[:20])
    response = HttpResponse(engraving.svg, content_type="image/svg+xml")
    response["ETag"] = etag
    response["Cache-Control"] = f"public, max-age={_DAY}"
    return get_conditional_response(request, etag=etag, response=response) or response
