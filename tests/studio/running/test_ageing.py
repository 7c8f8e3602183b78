"""Old rows go, and no wrong clock takes the others along."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.record import noting
from studio.record.models import By, RecordEntry, What
from studio.running.ageing import DAYS
from tests.conftest import NOON, FrozenClock
from tests.studio.web.test_fuzz import each_example

if TYPE_CHECKING:
    from studio.models import Studio

pytestmark = pytest.mark.django_db


def lines(studio: Studio, *days: int) -> None:
    """One on each of the days, counted back from today."""
    RecordEntry.objects.bulk_create(
        RecordEntry(
            studio=studio,
            moment=NOON - dt.timedelta(days=day),
            what=What.BACKUP_MADE,
            by=By.PROGRAM,
        )
        for day in days
    )


def left() -> list[int]:
    """How many days ago each line that is there was written."""
    moments = RecordEntry.objects.order_by("-moment").values_list("moment", flat=True)
    return [(NOON - moment).days for moment in moments]


def test_four_hundred_days_before_the_seventh_last_day(studio: Studio, frozen: FrozenClock) -> None:
    lines(studio, 500, 407, 406, 1, 1, 2, 3, 4, 5, 6)
    frozen.move(seconds=1)
    noting.note_everywhere(What.BACKUP_MADE)
    noting.forget_old()
    assert left() == [-1, 1, 1, 2, 3, 4, 5, 6, 406]


@pytest.mark.parametrize("ahead", [401, 4000])
def test_a_clock_that_was_ahead_for_six_days_takes_nothing_along(
    studio: Studio, frozen: FrozenClock, ahead: int
) -> None:
    """Looked at each day, as the daily backup does, and again when it was set right."""
    there = list(range(1, 401, 3))
    lines(studio, *there)
    frozen.move(days=ahead)
    for _ in range(DAYS - 1):
        noting.note_everywhere(What.BACKUP_MADE)
        noting.forget_old()
        frozen.move(days=1)
    frozen.set(NOON)
    noting.forget_old()
    assert [days for days in left() if days > 0] == there


def test_few_lines_stay_however_old(studio: Studio, frozen: FrozenClock) -> None:
    lines(studio, *range(3000, 3006))
    noting.forget_old()
    assert len(left()) == 6


@each_example
@given(
    days=st.lists(st.integers(-900, 900), max_size=30),
    shifts=st.lists(st.integers(-2000, 2000), max_size=5),
)
def test_wherever_the_clock_stands_the_last_seven_days_stay(
    studio: Studio, frozen: FrozenClock, days: list[int], shifts: list[int]
) -> None:
    RecordEntry.objects.all().delete()
    lines(studio, *days)
    for shift in shifts:
        frozen.set(NOON + dt.timedelta(days=shift))
        noting.forget_old()
    assert left() == sorted(days)[: len(left())]
    assert len(set(left())) >= min(len(set(days)), DAYS)
