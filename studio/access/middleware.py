"""Deny by default, then say whose studio this is."""

from collections.abc import Callable
from typing import Any

from django.contrib.auth.middleware import LoginRequiredMiddleware
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.http import urlencode
from django_htmx.http import HttpResponseClientRedirect
from django_htmx.middleware import HtmxDetails

from studio.access.models import Studio
from studio.web.speaking import speaking

View = Callable[..., HttpResponseBase]
LARGEST = 2**63 - 1


class SignInRequiredMiddleware(LoginRequiredMiddleware):
    """As Django's, but comes back to a page: never to a fragment and never to a POST address."""

    def handle_no_permission(  # type: ignore[override]  # 200 with HX-Redirect, for a fragment
        self, request: HttpRequest, view_func: View
    ) -> HttpResponseBase:
        htmx: HtmxDetails = request.htmx  # type: ignore[attr-defined]
        if htmx:
            page = htmx.current_url_abs_path or "/"
            return HttpResponseClientRedirect(_sign_in_then(page))
        if request.method not in {"GET", "HEAD"}:
            return redirect(_sign_in_then("/"))
        return redirect(_sign_in_then(request.get_full_path()))


def _sign_in_then(page: str) -> str:
    return f"{reverse('access:sign_in')}?{urlencode({'next': page})}"


class StudioMiddleware:
    """Sets `request.studio`, the studio's zone and its language; without one, to the first run."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        studio = own_studio(request)
        if studio is None:
            return self.get_response(request)
        request.studio = studio  # type: ignore[attr-defined]
        with speaking(studio):
            return self.get_response(request)

    def process_view(
        self, request: HttpRequest, view: View, args: Any, kwargs: Any
    ) -> HttpResponseBase | None:
        if any(isinstance(value, int) and value > LARGEST for value in kwargs.values()):
            # no words: the page of 404 has its own
            raise Http404("No row has such a number.")  # and no database takes it
        open_to_all = not getattr(view, "login_required", True)
        if open_to_all or hasattr(request, "studio") or not getattr(view, "needs_studio", True):
            return None
        return redirect("access:first_run")


def studio_not_required(view: View) -> View:
    """Lets a signed-in account use this view before it has a studio."""
    view.needs_studio = False  # type: ignore[attr-defined]
    return view


def own_studio(request: HttpRequest) -> Studio | None:
    """The signed-in teacher's studio; a signed-in person may have none yet."""
    return getattr(request.user, "studio", None) if request.user.is_authenticated else None
