"""The disk is full while a week is saved: what was typed stands under the Bench's own labels."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.db import OperationalError
from django.test import Client
from django.urls import reverse

from tests.pages.filled import filled

if TYPE_CHECKING:
    from studio.models import Student

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("frozen")]


def full(*_: object, **__: object) -> None:
    raise OperationalError("database or disk is full")


def test_the_bench_names_what_was_typed(
    signed_in: Client, student: Student, monkeypatch: pytest.MonkeyPatch
) -> None:
    signed_in.raise_request_exception = False
    page = signed_in.get(reverse("bench", args=[student.pk]))
    said = filled(page.content, "bench") | {
        "listen_for": "A bow arm that waits for nobody",
        "to_check": "The second shift, slowly",
    }
    monkeypatch.setattr("practice.bench.views.keep_page", full)
    answer = signed_in.post(reverse("bench-save", args=[student.pk]), said)
    assert answer.status_code == 503
    told = answer.content.decode()
    assert "Typed in “This week, listen for…”" in told
    assert "Typed in “To check next time”" in told
    assert told.count("readonly") == 2  # and nothing of what the page only carries along
    assert 'name="seen"' in told
