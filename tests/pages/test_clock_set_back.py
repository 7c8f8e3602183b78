"""The clock was set back: pages open, and weeks decided in what is now a time to come stay."""

from __future__ import annotations

import pytest
from django.test import Client
from django.urls import reverse

from practice.models import Assignment, Item
from studio.models import Student
from tests.conftest import FrozenClock
from tests.pages.lesson import after_a_lesson
from tests.pages.test_bench import form_of, post

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("frozen")]


@pytest.mark.parametrize("days", [1, 6, 40, 4000])
def test_the_bench_decides_that_week_and_leaves_the_later_one_alone(
    signed_in: Client, student: Student, frozen: FrozenClock, days: int
) -> None:
    full = after_a_lesson(student)
    post(signed_in, "bench-save", full, form_of(signed_in, full, minutes_2="50"))
    later = Assignment.objects.get(student=full, lesson__date=frozen.moment.date())
    was = list(Item.objects.filter(plan__assignment=later).values())
    frozen.move(days=-days)
    said = form_of(signed_in, full, minutes_1="12")
    assert post(signed_in, "bench-save", full, said).status_code == 302
    decided = Assignment.objects.exclude(pk=later.pk).get(student=full, minutes__1=12)
    assert decided.starts < later.starts
    assert list(Item.objects.filter(plan__assignment=later).values()) == was
    frozen.move(days=days)
    assert form_of(signed_in, full)["minutes_2"] == ["50"]


@pytest.mark.parametrize("days", [1, 4000])
def test_pages_open(signed_in: Client, student: Student, frozen: FrozenClock, days: int) -> None:
    full = after_a_lesson(student)
    post(signed_in, "bench-save", full, form_of(signed_in, full))
    frozen.move(days=-days)
    for address in (
        "/",
        reverse("bench", args=[full.pk]),
        reverse("weeks", args=[full.pk]),
        reverse("record:record"),
        "/settings/backups/",
        "/calendar/",
        "/students/",
    ):
        assert signed_in.get(address).status_code == 200, address
