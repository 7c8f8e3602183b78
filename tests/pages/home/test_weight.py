"""What a phone fetches on its first visit, counted from the answers of the server as it is run."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from django.core.wsgi import get_wsgi_application
from django.db import connections
from playwright.sync_api import Browser, expect

from practice.models import Assignment, Item
from studio.models import Student, Studio
from studio.running import serving
from tests import factories
from tests.factories import DAY
from tests.pages.home.weeks import day_url

pytestmark = [pytest.mark.usefixtures("frozen"), pytest.mark.django_db(transaction=True)]
MOST_BYTES = 60_000
PARTS = ["stretch", "warm_up", "etude", "run_through", "favourite"]


@pytest.fixture
def served(monkeypatch: pytest.MonkeyPatch) -> Iterator[str]:
    """The address of the built-in server, packing and all, on the test's database."""
    monkeypatch.setitem(connections.settings["default"], "CONN_MAX_AGE", 0)
    with serving.listen(serving.LOOPBACK, 0) as listening:
        server = serving.made(get_wsgi_application(), listening, "")
        finished = threading.Event()

        def run() -> None:
            while not finished.is_set():
                server.asyncore.loop(timeout=0.05, map=server._map, count=1)
            server.task_dispatcher.shutdown()
            server.asyncore.close_all(server._map)

        thread = threading.Thread(target=run)
        thread.start()
        yield f"http://127.0.0.1:{listening.getsockname()[1]}"
        finished.set()
        thread.join(timeout=10)


@pytest.mark.parametrize(
    ("given_name", "detail", "language"),
    [
        ("Imani", "slow bows", "en"),
        ("Páidí", "Détaché, à la corde", "en"),
        ("Łucja", "Détaché, O. Ševčík", "en"),
        ("Bảo Châu", "à la corde", "en"),
        ("نور", "slow bows", "en"),
        ("Jörg", "„größer“, Ü–Ä", "de"),
        ("Łucja", "schöne Töne, O. Ševčík", "de"),
        ("Bảo Châu", "schöne Töne", "de"),
        ("نور", "süße Töne", "de"),
    ],
)
def test_a_first_visit_weighs_less_than_60_kb_without_its_music(
    browser: Browser, served: str, token: str, student: Student, week: Assignment,
    given_name: str, detail: str, language: str,
) -> None:  # fmt: skip
    Student.objects.filter(pk=student.pk).update(given_name=given_name)
    Studio.objects.update(locale=language)
    make: Callable[..., Item] = factories.ItemFactory.create
    for n, part in enumerate(PARTS):
        title = part.replace("_", " ").capitalize()
        make(
            plan=week.plan,
            date=DAY,
            position=20 + n,
            key=part,
            part=part,
            title=title,
        )
    week.plan.details |= dict.fromkeys(PARTS, detail)
    week.plan.save()
    context = browser.new_context(viewport={"width": 390, "height": 844}, service_workers="block")
    page = context.new_page()
    network = context.new_cdp_session(page)
    network.send("Network.enable")
    asked, came = dict[str, str](), dict[str, int]()

    def answered(event: dict[str, Any]) -> None:
        asked[event["requestId"]] = event["response"]["url"].partition("?")[0]

    def finished(event: dict[str, Any]) -> None:
        came[asked[event["requestId"]].removeprefix(served)] = event["encodedDataLength"]

    network.on("Network.responseReceived", answered)
    network.on("Network.loadingFinished", finished)
    page.goto(served + day_url(token, student), wait_until="networkidle")
    expect(page.get_by_role("heading", level=1)).to_contain_text(given_name)
    page.evaluate("() => document.fonts.ready")
    context.close()
    weights = {name: size for name, size in came.items() if not name.startswith("/engraved/")}
    assert any(name.endswith(".woff2") for name in weights), weights
    assert sum(weights.values()) < MOST_BYTES, weights
