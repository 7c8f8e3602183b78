"""What a visitor sees when something cannot be done."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.template.loader import render_to_string


def bad_request(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    return HttpResponse(render_to_string("errors/400.html"), status=400)


def forbidden(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    return render(request, "errors/403.html", status=403)


def not_found(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    return render(request, "errors/404.html", status=404)


def server_error(request: HttpRequest) -> HttpResponse:
    """Rendered without request or database: either may be what is broken."""
    return HttpResponse(render_to_string("errors/500.html"), status=500)


def csrf_failure(request: HttpRequest, reason: str = "", **extra: Any) -> HttpResponse:
    return render(request, "errors/csrf.html", status=403)
