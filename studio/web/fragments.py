"""One view, one template, two ways to answer: the whole page or one named part of it."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django_htmx.middleware import HtmxDetails


def wants_fragment(request: HttpRequest) -> bool:
    """Whether htmx asks for a part; going back in the history asks for the page again."""
    htmx: HtmxDetails = request.htmx  # type: ignore[attr-defined]
    return bool(htmx) and not htmx.boosted and not htmx.history_restore_request


def page_or_fragment(
    request: HttpRequest,
    page: str,
    fragment: str,
    context: dict[str, Any],
    *,
    status: int = 200,
) -> HttpResponse:
    """Render `page`, or `fragment` alone when htmx asked; `page` includes `fragment` itself."""
    template = fragment if wants_fragment(request) else page
    response = render(request, template, context, status=status)
    response.headers["Vary"] = "HX-Request"
    return response
