"""Tries counted in the database."""

from __future__ import annotations

import threading
from typing import TYPE_CHECKING

import pytest
from django.db import connection

from studio.access import throttle
from studio.access.limits import Limit
from studio.access.models import Allowance

if TYPE_CHECKING:
    from tests.conftest import FrozenClock

THREE_A_MINUTE = Limit(tries=3, seconds=60)


@pytest.mark.django_db
def test_tries_run_out_and_come_back_with_time(frozen: FrozenClock) -> None:
    spent = [throttle.spend("address", "192.0.2.7", THREE_A_MINUTE) for _ in range(5)]
    assert spent == [0, 0, 0, 20, 20]
    frozen.move(seconds=20)
    assert throttle.spend("address", "192.0.2.7", THREE_A_MINUTE) == 0
    assert throttle.spend("address", "192.0.2.7", THREE_A_MINUTE) == 20


@pytest.mark.django_db
def test_each_visitor_and_each_kind_has_a_bucket_of_its_own(frozen: FrozenClock) -> None:
    for _ in range(3):
        throttle.spend("address", "192.0.2.7", THREE_A_MINUTE)
    assert throttle.spend("address", "192.0.2.8", THREE_A_MINUTE) == 0
    assert throttle.spend("account", "192.0.2.7", THREE_A_MINUTE) == 0
    assert throttle.spend("address", "192.0.2.7", THREE_A_MINUTE) > 0


@pytest.mark.django_db
def test_a_success_gives_every_try_back(frozen: FrozenClock) -> None:
    for _ in range(3):
        throttle.spend("account", "ana@example.org", THREE_A_MINUTE)
    throttle.restore("account", "ana@example.org")
    assert throttle.spend("account", "ana@example.org", THREE_A_MINUTE) == 0


@pytest.mark.django_db
def test_the_table_names_nobody(frozen: FrozenClock) -> None:
    throttle.spend("account", "ana@example.org", THREE_A_MINUTE)
    key = Allowance.objects.get().key
    assert len(key) == 64
    assert "ana" not in key


@pytest.mark.django_db
def test_old_rows_are_forgotten_and_fresh_ones_kept(frozen: FrozenClock) -> None:
    throttle.spend("address", "old", THREE_A_MINUTE)
    frozen.move(days=3)
    throttle.spend("address", "fresh", THREE_A_MINUTE)
    throttle.forget_old()
    assert [row.key for row in Allowance.objects.all()] == [throttle.hashed("address", "fresh")]


@pytest.mark.django_db(transaction=True)
def test_simultaneous_tries_never_exceed_the_limit(frozen: FrozenClock) -> None:
    """Eight connections at once; a lost update would grant more than the bucket holds."""
    granted: list[int] = []

    def visitor() -> None:
        for _ in range(3):
            if throttle.spend("address", "192.0.2.7", Limit(tries=10, seconds=3600)) == 0:
                granted.append(1)
        connection.close()

    visitors = [threading.Thread(target=visitor) for _ in range(8)]
    for thread in visitors:
        thread.start()
    for thread in visitors:
        thread.join()
    assert len(granted) == 10


@pytest.mark.django_db
@pytest.mark.parametrize("back", [{"minutes": -5}, {"days": -400}])
def test_a_clock_set_back_locks_nobody_out_and_gives_no_tries(
    frozen: FrozenClock, back: dict[str, float]
) -> None:
    for _ in range(3):
        throttle.spend("address", "192.0.2.7", THREE_A_MINUTE)
    frozen.move(**back)
    assert [throttle.spend("address", "192.0.2.7", THREE_A_MINUTE) for _ in range(2)] == [20, 20]
    frozen.move(seconds=20)
    assert [throttle.spend("address", "192.0.2.7", THREE_A_MINUTE) for _ in range(2)] == [0, 20]
