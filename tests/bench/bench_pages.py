"""How long the pages take, against a view that does nothing behind the same middleware.

    python -m tests.bench.bench_pages

Made on the example studio in a temporary database, through the whole program but the socket, as
it is served: templates cached, no debugging. The least of many answers counts, in ms of this
process's own time, for other work on the machine can only add to it. Asserts nothing. Target: a
list page at most 3 times the empty view.
"""

from __future__ import annotations

import datetime as dt
import io
import os
import time
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import Any
from urllib.parse import urlencode

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tests.settings")

import django
from django.http import HttpRequest, HttpResponse

RUNS, WARM_UP = 25, 3
HOST = "127.0.0.1"


def empty(request: HttpRequest) -> HttpResponse:
    return HttpResponse("")


@dataclass
class Visitor:
    """One who asks the program through its WSGI door, with or without a cookie of a session."""

    application: Callable[..., Any]
    cookie: str = ""

    def ask(self, path: str, form: dict[str, list[str]] | None = None) -> tuple[str, bytes]:
        path, _, query = path.partition("?")
        body = urlencode(form, doseq=True).encode() if form is not None else b""
        environ = {
            "REQUEST_METHOD": "GET" if form is None else "POST",
            "PATH_INFO": path,
            "QUERY_STRING": query,
            "SERVER_NAME": HOST,
            "SERVER_PORT": "8000",
            "SERVER_PROTOCOL": "HTTP/1.1",
            "REMOTE_ADDR": HOST,
            "HTTP_COOKIE": self.cookie,
            "HTTP_HX_REQUEST": "true" if form is not None else "",
            "CONTENT_TYPE": "application/x-www-form-urlencoded",
            "CONTENT_LENGTH": str(len(body)),
            "wsgi.input": io.BytesIO(body),
            "wsgi.errors": io.StringIO(),
            "wsgi.url_scheme": "http",
        }
        if form is None:
            del environ["HTTP_HX_REQUEST"]
        told: list[str] = []
        answer = self.application(environ, lambda status, headers: told.append(status))
        content = b"".join(answer)
        answer.close()
        return told[0], content


def least_ms(answer: Callable[[], tuple[str, bytes]], runs: int = RUNS) -> float:
    found = []
    for run in range(WARM_UP + runs):
        start = time.process_time()
        status, _ = answer()
        if run >= WARM_UP:
            found.append(1000 * (time.process_time() - start))
        assert status.startswith("200"), status
    return min(found)


def pages(today: dt.date) -> dict[str, str]:
    """Addresses by name, for the busiest student and the first home of the example."""
    from django.db.models import Count
    from django.urls import reverse

    from studio.links import tokens
    from studio.links.models import HomeLink
    from studio.people.models import Student

    student = (
        Student.objects.filter(status=Student.Status.LEARNING)
        .annotate(weeks=Count("assignments"))
        .order_by("-weeks", "pk")[0]
    )
    own = [student.pk]
    home = tokens.shown_again(HomeLink.objects.filter(opens="student").order_by("pk")[0])
    return {
        "desk": reverse("desk:today"),
        "everybody's week": reverse("desk:week"),
        "students": reverse("people:students"),
        "a student": reverse("people:student", args=own),
        "works": reverse("repertoire:works"),
        "a repertoire": reverse("repertoire:of_student", args=own),
        "calendar, week": reverse("lessons:calendar"),
        "calendar, month": reverse("lessons:month", args=[today.year, today.month]),
        "ledger": reverse("lessons:terms"),
        "weeks of one": reverse("weeks", args=own),
        "bench": reverse("bench", args=own),
        "preview": reverse("bench-preview", args=own),
        "home page": reverse("home:home", args=[home]),
    }


def open_example() -> Visitor:
    """A teacher signed in to the example, at noon of the tests' day."""
    from django.conf import settings
    from django.core.management import call_command
    from django.core.wsgi import get_wsgi_application
    from django.db import connection
    from django.test import Client
    from django.urls import include, path

    from practice.repertoire.catalogue import load_catalogue
    from studio import clock
    from studio.access.models import Studio
    from tests.conftest import NOON

    settings.DATABASES["default"].setdefault("TEST", {})["MIGRATE"] = False
    connection.creation.create_test_db(verbosity=0)
    settings.DEBUG = False
    clock.now = lambda: NOON
    load_catalogue()
    call_command("example_studio", verbosity=0)
    client = Client()
    client.force_login(Studio.objects.get().owner)
    globals()["urlpatterns"] = [path("empty/", empty), path("", include("studio.urls"))]
    settings.ROOT_URLCONF = __name__
    key = client.cookies[settings.SESSION_COOKIE_NAME].value
    secret = "c" * 32
    return Visitor(
        get_wsgi_application(),
        f"{settings.SESSION_COOKIE_NAME}={key}; {settings.CSRF_COOKIE_NAME}={secret}",
    )


def main() -> None:
    django.setup()
    from django.conf import settings
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    from tests.conftest import NOON
    from tests.pages.filled import filled

    visitor = open_example()
    nothing = least_ms(partial(visitor.ask, "/empty/"), 10 * RUNS)
    print(f"{'page':18} queries     ms  times the empty view     kB")
    addresses = {"empty view": "/empty/", **pages(NOON.date())}
    for name, address in addresses.items():
        form = filled(visitor.ask(addresses["bench"])[1], "bench") if name == "preview" else None
        with CaptureQueriesContext(connection) as queries:
            _, content = visitor.ask(address, form)
        asked = len(queries)
        taken = least_ms(partial(visitor.ask, address, form))
        print(
            f"{name:18} {asked:7} {taken:6.1f} {taken / nothing:21.1f} {len(content) / 1024:6.0f}"
        )
    connection.creation.destroy_test_db(settings.DATABASES["default"]["NAME"], verbosity=0)


if __name__ == "__main__":
    main()
