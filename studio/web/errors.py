"""What a visitor sees when something cannot be done."""

import sys
from collections.abc import Iterator
from traceback import walk_tb
from typing import Any, Final, cast

from django.forms import BaseForm
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
    error = sys.exc_info()[1]
    fault = fault_of(error)
    if error is not None and fault is not None:
        return _refused(request, fault, labels_at_work(error))
    name = "errors/500_part.html" if "HX-Request" in request.headers else "errors/500.html"
    return HttpResponse(render_to_string(name), status=500)


def labels_at_work(error: BaseException) -> dict[str, str]:
    """Labels by the names fields are sent with, of all forms in hand when the error was raised.

    A form that is not among them (the refusal came before it was made) is not known.
    """
    return {
        form.add_prefix(name): str(field.label or "")
        for frame, _line in walk_tb(error.__traceback__)
        for value in list(frame.f_locals.values())
        for form in _forms_in(value)
        for name, field in form.fields.items()
        if not field.widget.is_hidden
    }


def _forms_in(value: object) -> Iterator[BaseForm]:
    """A form, or those of a page that is made of several and has them as `forms`."""
    kind = type(value)  # not isinstance: that would ask the database who a lazy user is
    if issubclass(kind, BaseForm):
        yield cast(BaseForm, value)
    elif isinstance(getattr(kind, "forms", None), property):
        yield from (each for each in cast(Any, value).forms if isinstance(each, BaseForm))


def _refused(request: HttpRequest, fault: Fault, labels: dict[str, str]) -> HttpResponse:
    """What disk or database refused, with all that was typed, ready to be sent again."""
    typed = _typed(request, labels)
    context = {"happened": _(fault.value.happened), "do": _(fault.value.do), **typed}
    name = "errors/503_part.html" if "HX-Request" in request.headers else "errors/503.html"
    headers = {"Retry-After": str(AGAIN_AFTER), "Cache-Control": "no-store"}
    return HttpResponse(render_to_string(name, context), status=503, headers=headers)


def _typed(request: HttpRequest, labels: dict[str, str]) -> dict[str, Any]:
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
    long = [
        (name, value)
        for name, value in plain
        if len(value) > SHORT and name != CSRF_FIELD
        if name in labels or not labels  # the rest nobody typed: the page carries it along
    ]
    return {
        "sent": True,
        "address": request.get_full_path(),
        "posted": plain,
        "shown": [(labels.get(name, ""), value, _rows(value)) for name, value in long],
        "again": len(plain) == len(fields) and not files,
    }


def _rows(text: str) -> int:
    """How high a box shows it, of lines of a phone's width."""
    return min(sum(1 + len(line) // WIDTH for line in text.split("\n")), MOST_ROWS)


def csrf_failure(request: HttpRequest, reason: str = "", **extra: Any) -> HttpResponse:
    return render(request, "errors/csrf.html", status=403)
