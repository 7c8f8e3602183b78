"""How fast the Bench answers. Run: python -m tests.bench.bench_bench

Prints the middle of many answers in ms of this process's own time (a busy machine adds nothing to
it) and the ratio to a view that does nothing behind the same middleware. Targets: the preview
under 50 ms, a list page at most 3 times the empty view.
"""

from __future__ import annotations

import os
import time
from collections.abc import Callable
from statistics import median
from typing import Any

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tests.settings")

import django
from django.http import HttpRequest, HttpResponse

RUNS, WARM_UP = 60, 5
PREVIEW_TARGET = 50


def empty(request: HttpRequest) -> HttpResponse:
    return HttpResponse("")


def milliseconds(answer: Callable[[], Any]) -> float:
    found = []
    for run in range(WARM_UP + RUNS):
        start = time.process_time()
        response = answer()
        if run >= WARM_UP:
            found.append(1000 * (time.process_time() - start))
        assert response.status_code == 200, response.status_code
    return median(found)


def main() -> None:
    django.setup()
    from django.conf import settings
    from django.db import connection
    from django.test import Client, override_settings
    from django.urls import include, path, reverse

    settings.DATABASES["default"].setdefault("TEST", {})["MIGRATE"] = False
    connection.creation.create_test_db(verbosity=0)
    from practice.repertoire.catalogue import load_catalogue
    from studio import clock
    from tests import factories
    from tests.conftest import NOON
    from tests.pages.filled import filled
    from tests.pages.lesson import after_a_lesson

    load_catalogue()
    clock.now = lambda: NOON
    student = after_a_lesson(factories.StudentFactory.create())
    client = Client()
    client.force_login(student.family.studio.owner)
    globals()["urlpatterns"] = [path("empty/", empty), path("", include("studio.urls"))]
    with override_settings(ROOT_URLCONF=__name__, ALLOWED_HOSTS=["testserver"]):
        bench = reverse("bench", args=[student.pk])
        form = filled(client.get(bench).content, "bench")
        nothing = milliseconds(lambda: client.get("/empty/"))
        htmx = {"HX-Request": "true"}
        preview_at = reverse("bench-preview", args=[student.pk])
        print(f"empty view        {nothing:6.1f} ms")
        for name, answer in {
            "Bench": lambda: client.get(bench),
            "preview": lambda: client.post(preview_at, form, headers=htmx),
            "weeks (a list)": lambda: client.get(reverse("weeks", args=[student.pk])),
        }.items():
            taken = milliseconds(answer)
            print(f"{name:16}  {taken:6.1f} ms, {taken / nothing:4.1f} times the empty view")
    print(f"target for the preview: under {PREVIEW_TARGET} ms")
    connection.creation.destroy_test_db(settings.DATABASES["default"]["NAME"], verbosity=0)


if __name__ == "__main__":
    main()
