"""An export made by an earlier version is taken in by this one: every row, and what it said."""

from __future__ import annotations

import json
import zipfile
from collections import Counter
from typing import Any

import pytest
from django.db.models import Sum

from practice.models import Item, LogEntry, Plan
from practice.plans.generate import built
from studio.export import placing
from studio.export.rules import by_label
from tests.factories import StudioFactory
from tests.studio.backups import earlier

pytestmark = pytest.mark.django_db


def lines(label: str) -> list[dict[str, Any]]:
    with zipfile.ZipFile(earlier.EXPORT) as archive:
        return [json.loads(line) for line in archive.read(f"data/{label}.jsonl").splitlines()]


def test_it_comes_in_whole() -> None:
    studio = StudioFactory.create(name="Empty", teacher="Nobody", zone="UTC")
    rows = placing.take_in(studio, earlier.EXPORT, earlier.EXPORT.name).rows
    assert rows["practice.item"] == 901
    assert {label: by_label()[label].of(studio).count() for label in rows} == rows
    items, entries = lines("practice.item"), lines("practice.logentry")
    done = [entry for entry in entries if entry["done"]]
    assert Item.objects.aggregate(all=Sum("minutes"))["all"] == sum(i["minutes"] for i in items)
    told = LogEntry.objects.filter(done=True)
    assert told.count() == len(done)
    assert told.aggregate(all=Sum("minutes"))["all"] == sum(each["minutes"] for each in done)
    for plan in Plan.objects.prefetch_related("items"):
        again = {
            (day.date, item.key): item.minutes
            for day in built(plan).days
            for session in day.sessions
            for item in session.items
        }
        assert again == {(i.date, i.key): i.minutes for i in plan.items.all() if i.minutes}
    # Numbers are new, so what an item is is told by its words alone; leftovers as the plan says.
    planned = Counter((i["date"], i["title"], i["detail"]) for i in items if i["minutes"])
    now = Item.objects.filter(minutes__gt=0).select_related("plan")
    assert Counter((str(i.date), i.title, i.detail) for i in now) == planned
    assert all(item.detail for item in Item.objects.filter(minutes=0).select_related("plan"))
