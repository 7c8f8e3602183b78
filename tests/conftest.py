"""The cast, a clock that stands still, and a browser."""

from __future__ import annotations

import datetime as dt
import os
import shutil
import time
from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING, Protocol

import hypothesis
import pytest
from django.core.signals import request_finished, request_started
from django.test import Client
from django.utils import translation

from studio import clock
from tests import factories

if TYPE_CHECKING:
    from django.contrib.auth.models import User
    from playwright.sync_api import Browser, BrowserContext, Page
    from pytest_django.live_server_helper import LiveServer

    from studio.models import Family, Student, Studio

# No test fails because the machine is busy. The short profile tries the same examples each time,
# so that a change is judged by itself; new ones are searched by --hypothesis-profile=long.
BUSY = hypothesis.settings(deadline=None, suppress_health_check=[hypothesis.HealthCheck.too_slow])
hypothesis.settings.register_profile("short", BUSY, max_examples=60, derandomize=True)
hypothesis.settings.register_profile("long", BUSY, max_examples=10_000)
hypothesis.settings.load_profile("short")

# Playwright runs an event loop in the test's thread, where Django would refuse the database.
os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "1"

NOON = dt.datetime.combine(factories.DAY, dt.time(12), tzinfo=dt.UTC)
PATIENCE = 60_000  # ms; how long a browser waits, on a machine however busy
CHROMIUM_NAMES = ("chromium", "chromium-browser", "google-chrome")
CHROMIUM_ON_MAC = "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome"


class FrozenClock:
    """Stands at noon UTC of factories.DAY until a test moves it."""

    def __init__(self) -> None:
        self.moment = NOON

    def move(self, **by: float) -> None:
        self.moment += dt.timedelta(**by)

    def set(self, moment: dt.datetime) -> None:
        self.moment = moment


@pytest.fixture(autouse=True)
def _english() -> Iterator[None]:
    """A request in another language leaves it spoken in its thread; no test begins like that."""
    with translation.override("en"):
        yield


@pytest.fixture
def frozen(monkeypatch: pytest.MonkeyPatch) -> FrozenClock:
    standing = FrozenClock()
    monkeypatch.setattr(clock, "now", lambda: standing.moment)
    return standing


@pytest.fixture
def studio(db: None) -> Studio:
    """Marisol's studio, the one a test looks at."""
    return factories.StudioFactory.create()


@pytest.fixture
def teacher(studio: Studio) -> User:
    return studio.owner


@pytest.fixture
def family(studio: Studio) -> Family:
    """The Okonkwo-Reyes family with Tomás, the father."""
    family = factories.FamilyFactory.create(studio=studio, name="Okonkwo-Reyes")
    factories.GuardianFactory.create(family=family)
    return family


@pytest.fixture
def student(family: Family) -> Student:
    """Imani, a child of that family."""
    return factories.StudentFactory.create(family=family)


@pytest.fixture
def other_studio(db: None) -> Studio:
    """Another teacher's studio in the same installation, which must stay out of sight."""
    return factories.StudioFactory.create(
        name="Lindqvist Strings", teacher="Per", zone="Asia/Tokyo"
    )


@pytest.fixture
def other_student(other_studio: Studio) -> Student:
    """Per's student, whom Marisol must never see."""
    family = factories.FamilyFactory.create(studio=other_studio, name="Tanaka-Holm")
    return factories.StudentFactory.create(
        family=family, given_name="Sora", family_name="Tanaka-Holm"
    )


@pytest.fixture
def signed_in(client: Client, teacher: User) -> Client:
    """A test client with Marisol signed in."""
    client.force_login(teacher)
    return client


def chromium_path() -> str:
    """Where Chromium is; without one a browser test is skipped, and fails where CI is set."""
    for name in (*CHROMIUM_NAMES, CHROMIUM_ON_MAC):
        found = shutil.which(name)
        if found:
            return found
    words = "No Chromium found. On Debian: sudo apt install chromium"
    if os.environ.get("CI") == "true":
        pytest.fail(words)
    pytest.skip(words)


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    from playwright.sync_api import expect, sync_playwright

    path = chromium_path()
    with sync_playwright() as playwright:
        flags = ["--no-sandbox", "--disable-gpu", "--disable-background-networking"]
        chromium = playwright.chromium.launch(executable_path=path, args=flags)
        expect.set_options(timeout=PATIENCE)
        yield chromium
        chromium.close()


class OpensPage(Protocol):
    def __call__(self, **context: object) -> Page: ...


@pytest.fixture
def answered(live_server: LiveServer) -> Iterator[None]:
    """The tables are emptied only when no answer is under way: PostgreSQL calls that a deadlock."""
    under_way: list[None] = []  # whose two verbs are safe among threads

    def begun(**_: object) -> None:
        under_way.append(None)

    def ended(**_: object) -> None:
        if under_way:
            under_way.pop()

    request_started.connect(begun)
    request_finished.connect(ended)
    yield
    for _ in range(500):
        if not under_way:
            break
        time.sleep(0.02)
    request_started.disconnect(begun)
    request_finished.disconnect(ended)


@pytest.fixture
def open_page(
    browser: Browser, live_server: LiveServer, answered: None
) -> Iterator[Callable[..., Page]]:
    """Make a page of the live server; keyword arguments go to Playwright's context.

    Ends the test in error when a page broke the content policy, threw, or asked another host.
    """
    contexts: list[BrowserContext] = []
    trouble: list[str] = []

    def make(**options: object) -> Page:
        context = browser.new_context(base_url=live_server.url, **options)  # type: ignore[arg-type]
        context.set_default_timeout(PATIENCE)
        contexts.append(context)
        page = context.new_page()
        page.on("pageerror", lambda error: trouble.append(str(error)))
        page.on(
            "console",
            lambda line: trouble.append(line.text) if "Content Security" in line.text else None,
        )
        page.on(
            "request",
            lambda asked: (
                None
                if asked.url.startswith((live_server.url, "data:", "blob:"))
                else trouble.append(f"asked {asked.url}")
            ),
        )
        return page

    yield make
    for context in contexts:
        context.close()
    assert not trouble


@pytest.fixture
def page(open_page: Callable[..., Page]) -> Page:
    """A page in a laptop's window, nobody signed in."""
    return open_page(viewport={"width": 1280, "height": 800})


@pytest.fixture
def teacher_page(page: Page, signed_in: Client, live_server: LiveServer) -> Page:
    """The same page with Marisol signed in."""
    secret = signed_in.cookies["sessionid"].value
    page.context.add_cookies([{"name": "sessionid", "value": secret, "url": live_server.url}])
    return page
