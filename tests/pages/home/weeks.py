"""What tests of the home page ask for."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

from django.urls import reverse
from playwright.sync_api import Browser, BrowserContext, Page

from practice.home.take_home import take_home_file
from practice.models import Assignment, Item, LogEntry
from studio.models import Student
from tests.conftest import PATIENCE
from tests.factories import DAY, NOW


def day_url(token: str, student: Student, day: dt.date = DAY) -> str:
    return reverse("home:day", args=[token, student.pk, day])


def lose_the_network(page: Page) -> None:
    """The browser answers before it has cut every connection; wait until it has."""
    page.context.set_offline(True)
    asks = "() => fetch(location.href, {cache: 'no-store'}).then(() => true, () => false)"
    while page.evaluate(asks):
        pass


def file_in(folder: Path, week: Assignment) -> str:
    """The address of the week's take-home file, as it is opened from a folder."""
    file = folder / "imani.html"
    file.write_text(take_home_file(week, DAY), encoding="utf-8")
    return file.as_uri()


def phone_at_now(browser: Browser, **options: Any) -> BrowserContext:
    """One that shares nothing with the studio but the hour."""
    context = browser.new_context(**{"viewport": {"width": 390, "height": 844}, **options})
    context.set_default_timeout(PATIENCE)
    context.clock.install(time=NOW)
    return context


def items_of(week: Assignment, day: dt.date = DAY) -> list[Item]:
    return list(week.plan.items.filter(date=day).order_by("position"))


def logged() -> dict[str, tuple[bool, int, int | None]]:
    rows = LogEntry.objects.select_related("item")
    return {row.item.key.partition(":")[0]: (row.done, row.minutes, row.tempo) for row in rows}


def kept_then_cut_off(phone: Page, address: str) -> None:
    """Open the page, wait until the phone keeps it, and take the network away."""
    phone.goto(address)
    phone.wait_for_function(
        """async (path) => !!(await caches.match(new URL(path, location))) &&
            !!navigator.serviceWorker.controller""",
        arg=address,
    )
    phone.wait_for_timeout(500)  # the fonts and pictures follow the page
    phone.context.set_offline(True)
