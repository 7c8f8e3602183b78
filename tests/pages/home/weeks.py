"""What tests of the home page ask for."""

from __future__ import annotations

import datetime as dt

from django.urls import reverse
from playwright.sync_api import Page

from practice.models import Assignment, Item, LogEntry
from studio.models import Student
from tests.factories import DAY


def day_url(token: str, student: Student, day: dt.date = DAY) -> str:
    return reverse("home:day", args=[token, student.pk, day])


def lose_the_network(page: Page) -> None:
    """The browser answers before it has cut every connection; wait until it has."""
    page.context.set_offline(True)
    asks = "() => fetch(location.href, {cache: 'no-store'}).then(() => true, () => false)"
    while page.evaluate(asks):
        pass


def items_of(week: Assignment, day: dt.date = DAY) -> list[Item]:
    return list(week.plan.items.filter(date=day).order_by("position"))


def logged() -> dict[str, tuple[bool, int, int | None]]:
    rows = LogEntry.objects.select_related("item")
    return {row.item.key.partition(":")[0]: (row.done, row.minutes, row.tempo) for row in rows}
