"""The studio's day is not the server's."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest

from studio import clock
from studio.models import Studio

if TYPE_CHECKING:
    from tests.conftest import FrozenClock

# 2026-11-25 23:30 UTC; offsets by the IANA rules in force that day.
LATE = dt.datetime(2026, 11, 25, 23, 30, tzinfo=dt.UTC)


@pytest.mark.parametrize(
    ("zone", "day", "hour"),
    [
        ("Europe/Lisbon", dt.date(2026, 11, 25), 23),
        ("Asia/Kathmandu", dt.date(2026, 11, 26), 5),
        ("Pacific/Kiritimati", dt.date(2026, 11, 26), 13),
        ("Pacific/Pago_Pago", dt.date(2026, 11, 25), 12),
    ],
)
def test_today_is_the_studios_own_day(
    frozen: FrozenClock, zone: str, day: dt.date, hour: int
) -> None:
    frozen.set(LATE)
    studio = Studio(zone=zone)
    assert clock.today(studio) == day
    assert clock.local_now(studio).hour == hour


def test_now_is_aware() -> None:
    assert clock.now().utcoffset() == dt.timedelta(0)
