"""Addresses and rows that the tests of recital pages share."""

from __future__ import annotations

from django.urls import reverse

from practice.models import Performance, Programme

HTMX = {"HX-Request": "true"}
DETAILS = {
    **{"name": "Winter recital", "date": "2026-12-05", "starts": "15:00", "minutes": "60"},
    **{"place": "Town library", "siblings": "apart", "most_with_piano": "3"},
    **{"change_seconds": "40", "interval_minutes": "15", "accompanist": ""},
}


def address(name: str, *args: int) -> str:
    return reverse(f"recitals:{name}", args=args)


def order(programme: Programme) -> list[str]:
    rows = programme.performances.order_by("place")
    return list(rows.values_list("student__given_name", flat=True))


def piece_of(name: str) -> Performance:
    return Performance.objects.get(student__given_name=name)
