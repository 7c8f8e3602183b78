"""The sign-in address that the terminal prints."""

from __future__ import annotations

from http import HTTPStatus
from typing import TYPE_CHECKING

import pytest
from django.test import Client
from django.urls import reverse

from studio.access import tickets
from studio.access.models import SignInTicket

if TYPE_CHECKING:
    from django.contrib.auth.models import User

    from tests.conftest import FrozenClock


@pytest.fixture
def here() -> Client:
    """A browser on the computer the program runs on."""
    return Client(HTTP_HOST="127.0.0.1")


def use(client: Client, token: str) -> int:
    return client.get(reverse("access:use_ticket", args=[token])).status_code


def test_a_ticket_opens_once(here: Client, teacher: User) -> None:
    token = tickets.issue(teacher)
    assert use(here, token) == HTTPStatus.FOUND
    assert here.get(reverse("access:settings")).status_code == HTTPStatus.OK
    assert use(Client(HTTP_HOST="127.0.0.1"), token) == HTTPStatus.GONE


def test_a_ticket_is_late_after_a_quarter_of_an_hour(
    here: Client, teacher: User, frozen: FrozenClock
) -> None:
    token = tickets.issue(teacher)
    frozen.move(minutes=15)
    assert use(here, token) == HTTPStatus.GONE
    assert here.get(reverse("access:settings")).status_code == HTTPStatus.FOUND


@pytest.mark.parametrize(
    ("back", "status"),
    [({"minutes": -15}, HTTPStatus.FOUND), ({"days": -400}, HTTPStatus.GONE)],
    ids=["corrected", "was far ahead"],
)
def test_a_ticket_of_a_clock_that_was_far_ahead_does_not_open_for_a_year(
    here: Client,
    teacher: User,
    frozen: FrozenClock,
    back: dict[str, float],
    status: HTTPStatus,
) -> None:
    token = tickets.issue(teacher)
    frozen.move(**back)
    tickets.forget_old()
    assert use(here, token) == status
    assert use(here, tickets.issue(teacher)) == HTTPStatus.FOUND


@pytest.mark.parametrize(
    ("address", "host"),
    [("192.168.1.31", "127.0.0.1"), ("127.0.0.1", "testserver"), ("", "127.0.0.1")],
    ids=["another device", "through a proxy", "unknown"],
)
def test_a_ticket_opens_at_this_computer_only(teacher: User, address: str, host: str) -> None:
    token = tickets.issue(teacher)
    visitor = Client(REMOTE_ADDR=address, HTTP_HOST=host)
    assert use(visitor, token) == HTTPStatus.NOT_FOUND
    assert SignInTicket.objects.exists()


def test_a_new_ticket_ends_the_one_before(here: Client, teacher: User) -> None:
    first = tickets.issue(teacher)
    tickets.issue(teacher)
    assert use(here, first) == HTTPStatus.GONE


def test_only_the_hash_is_kept(teacher: User) -> None:
    token = tickets.issue(teacher)
    assert len(token) >= 43  # 256 bits in base64
    assert token not in str(SignInTicket.objects.values().get())


def test_a_closed_account_has_no_way_in(here: Client, teacher: User) -> None:
    token = tickets.issue(teacher)
    teacher.is_active = False
    teacher.save()
    assert use(here, token) == HTTPStatus.GONE


def test_late_tickets_are_thrown_away(teacher: User, frozen: FrozenClock) -> None:
    tickets.issue(teacher)
    tickets.forget_old()
    assert SignInTicket.objects.count() == 1
    frozen.move(minutes=16)
    tickets.forget_old()
    assert SignInTicket.objects.count() == 0
