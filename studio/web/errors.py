"""What a visitor sees when something cannot be done."""

import sys
from typing import Any, Final

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.template.loader import render_to_string
from django.utils import translation
from django.utils.translation import gettext as _

from studio.running.faults import Fault, fault_of

SECRETS: Final = ("password", "passphrase")
CSRF_FIELD: Final = "csrfmiddlewaretoken"
SHORT: Final = 15
WIDTH, MOST_ROWS = 36, 12
AGAIN_AFTER: Final = 10  # seconds


def bad_request(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    with translation.override(translation.get_language_from_request(request)):  # too early for it
        return HttpResponse(render_to_string("errors/400.html"), status=400)


def forbidden(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    return render(request, "errors/403.html", status=403)


def not_found(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    return render(request, "errors/404.html", status=404)


def server_error(request: HttpRequest) -> HttpResponse:
    """Rendered without request or database: either may be what is broken."""
    fault = fault_of(sys.exc_info()[1])
    if fault is not None:
        return _refused(request, fault)
    name = "errors/500_part.html" if "HX-Request" in request.headers else "errors/500.html"
    return HttpResponse(render_to_string(name), status=500)


def _refused(request: HttpRequest, fault: Fault) -> HttpResponse:
    """What disk or database refused, with all that was typed, ready to be sent again."""
    context = {"happened": _(fault.value.happened), "do": _(fault.value.do), **_typed(request)}
    name = "errors/503_part.html" if "HX-Request" in request.headers else "errors/503.html"
    headers = {"Retry-After": str(AGAIN_AFTER), "Cache-Control": "no-store"}
    return HttpResponse(render_to_string(name, context), status=503, headers=headers)


def _typed(request: HttpRequest) -> dict[str, Any]:
    """The fields of a form that was sent; nothing secret comes back, and no file."""
    if request.method != "POST":
        return {"address": request.get_full_path()}
    try:
        fields = [(name, value) for name, values in request.POST.lists() for value in values]
        files = [file.name for each in request.FILES.lists() for file in each[1]]
    except (OSError, ValueError):  # the very reading of it was refused
        return {"sent": True, "again": False}
    plain = [(name, value) for name, value in fields if not name.endswith(SECRETS)]
    plain = [(name, value) for name, value in plain if not name.startswith(SECRETS)]
    long = [(name, value) for name, value in plain if len(value) > SHORT and name != CSRF_FIELD]
    return {
        "sent": True,
        "address": request.get_full_path(),
        "posted": plain,
        "shown": [(name.replace("_", " "), value, _rows(value)) for name, value in long],
        "again": len(plain) == len(fields) and not files,
    }


def _rows(text: str) -> int:
    """How high a box shows it, of lines of a phone's width."""
    return min(sum(1 + len(line) // WIDTH for line in text.split("\n")), MOST_ROWS)


def csrf_failure(request: HttpRequest, reason: str = "", **extra: Any) -> HttpResponse:
    return render(request, "errors/csrf.html", status=403)
