"""A number in an address is read, or is none; nothing typed there makes a page stumble."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.test import Client
from django.urls import reverse

from studio.web.numbers import number_of

if TYPE_CHECKING:
    from studio.models import Student

LONG = "9" * 5000  # more digits than Python reads as a number


@pytest.mark.parametrize(("text", "number"), [("0", 0), ("17", 17), ("9" * 18, 10**18 - 1)])
def test_a_number(text: str, number: int) -> None:
    assert number_of(text) == number


@pytest.mark.parametrize("text", ["", "-1", "1.0", " 1", "٣", "²", "9" * 19, LONG])
def test_what_is_none(text: str) -> None:
    assert number_of(text) is None


def test_pages_take_the_longest_number_for_none(signed_in: Client, student: Student) -> None:
    here = {"HX-Request": "true"}
    weeks = reverse("weeks", args=[student.pk])
    assert signed_in.get(weeks, {"page": LONG}).status_code == 200
    assert signed_in.get(reverse("repertoire:work_add"), {"like": LONG}).status_code == 200
    stands = reverse("bench-stands", args=[student.pk])
    assert signed_in.get(stands, {"of": LONG}, headers=here).status_code == 404
    for page in ("give", "etude", "favourite_add"):
        where = reverse(f"repertoire:{page}", args=[student.pk])
        assert signed_in.post(where, {"work": LONG}).status_code in {404, 422}
    typed = {"step": "scale:up", "scale-now": LONG, "etude-move": LONG, "by_hand": f"{LONG},1"}
    for page in ("bench-preview", "bench-save"):
        answer = signed_in.post(reverse(page, args=[student.pk]), typed)
        assert answer.status_code in {200, 422}
