"""How long a family's calendar takes: whole, and unchanged.

    python -m pytest tests/bench/bench_feed.py --no-header -s

Three children, three years of weekly lessons, through the whole program but the socket. The best
of many runs is compared: the others measure what else the machine was doing.
"""

from __future__ import annotations

import datetime as dt
import time
from collections.abc import Callable

import pytest
from django.test import Client
from django.urls import reverse

from studio.lessons import addresses
from studio.links import tokens
from studio.models import Lesson, Student
from tests.conftest import NOON
from tests.factories import DAY, StudentFactory

WHOLE_MS, UNCHANGED_MS = 30, 5
WEEKS_A_YEAR, YEARS = 40, 3


def best_ms(work: Callable[[], object], runs: int = 40) -> float:
    times = []
    for _ in range(runs):
        began = time.perf_counter()
        work()
        times.append((time.perf_counter() - began) * 1000)
    return min(times)


@pytest.fixture
def address(student: Student) -> str:
    children = [student, *(StudentFactory.create(family=student.family) for _ in range(2))]
    Lesson.objects.bulk_create(
        Lesson(
            student=child,
            date=DAY - dt.timedelta(weeks=week),
            starts=dt.time(15 + number),
            place="Room 2; “upstairs”, left",
            status="kept" if week % 9 else "cancelled-family",
        )
        for number, child in enumerate(children)
        for week in range(WEEKS_A_YEAR * YEARS)
    )
    link = addresses.renew_family(student.family, NOON)
    return reverse("lessons:feed", args=[tokens.shown_again(link)])


@pytest.mark.usefixtures("frozen")
def test_three_years_of_a_family(client: Client, address: str) -> None:
    first = client.get(address)
    assert first.content.count(b"BEGIN:VEVENT") == 3 * WEEKS_A_YEAR * YEARS
    whole = best_ms(lambda: client.get(address))
    mark = {"If-None-Match": first["ETag"]}
    assert client.get(address, headers=mark).status_code == 304
    unchanged = best_ms(lambda: client.get(address, headers=mark))
    print(f"\nwhole {whole:.1f} ms, {len(first.content)} bytes; unchanged {unchanged:.2f} ms")
    assert whole < WHOLE_MS
    assert unchanged < UNCHANGED_MS
