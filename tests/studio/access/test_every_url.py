"""A new address is closed, has an allowed-method rule, and is opened only by name, here."""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Iterator
from dataclasses import dataclass
from http import HTTPStatus
from typing import TYPE_CHECKING, Any

import pytest
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver, reverse

if TYPE_CHECKING:
    from studio.models import Studio

# Addresses that a visitor without a sign-in may open, each for its reason.
OPEN_TO_ALL = {
    "access:sign_in",  # the door itself
    "access:first_run",  # there is nobody yet who could sign in
    "access:use_ticket",  # the terminal's one-time address is a sign-in
    "backups:health",  # for what watches the program; says nothing about anybody
    "home:worker",  # a script, the same for everybody
    "favicon",  # a picture, the same for everybody
    "engraving:engraved",
    "engraving:sounding",  # holds notes, nothing about a person
}
# Addresses that hold a secret of their own, which a family was given.
OPEN_BY_SECRET = {
    *("home:home", "home:child", "home:day", "home:week", "home:send", "home:sheet"),
    *("home:report", "home:report-pdf"),
    *("lessons:feed", "lessons:feed-page"),
}
# Where a signed-in teacher without a studio must be able to go.
WITHOUT_STUDIO = {"access:sign_out"}
EXAMPLES: dict[str, Any] = {
    "int": 987654,
    "str": "nothing",
    "slug": "nothing",
    "path": "nothing/at/all",
    "uuid": uuid.UUID(int=7),
    "day": dt.date(2026, 11, 25),
}


@dataclass(frozen=True)
class Address:
    name: str
    view: Any
    path: str


def addresses() -> Iterator[Address]:
    yield from _walk(get_resolver().url_patterns, ())


def _walk(patterns: list[Any], spaces: tuple[str, ...]) -> Iterator[Address]:
    for pattern in patterns:
        if isinstance(pattern, URLResolver):
            inner = (*spaces, pattern.namespace) if pattern.namespace else spaces
            yield from _walk(pattern.url_patterns, inner)
        elif isinstance(pattern, URLPattern):
            assert pattern.name, f"{pattern.pattern} has no name"
            name = ":".join([*spaces, pattern.name])
            yield Address(name, pattern.callback, reverse(name, kwargs=_arguments(pattern)))


def _arguments(pattern: URLPattern) -> dict[str, Any]:
    found = pattern.pattern.converters
    return {key: EXAMPLES[_kind(converter)] for key, converter in found.items()}


def _kind(converter: Any) -> str:
    return type(converter).__name__.removesuffix("Converter").lower().replace("string", "str")


ALL = sorted(addresses(), key=lambda address: address.name)


def is_open(address: Address) -> bool:
    return not getattr(address.view, "login_required", True)


def test_only_the_listed_addresses_are_open() -> None:
    assert {address.name for address in ALL if is_open(address)} == OPEN_TO_ALL | OPEN_BY_SECRET


@pytest.mark.django_db
@pytest.mark.parametrize("address", ALL, ids=lambda address: address.name)
def test_a_stranger_is_sent_to_the_door(client: Client, address: Address) -> None:
    if is_open(address):
        return
    for method in ("GET", "POST"):
        answer = client.generic(method, address.path)
        assert answer.status_code == HTTPStatus.FOUND
        assert answer.headers["Location"].startswith(reverse("access:sign_in"))


@pytest.mark.parametrize("address", ALL, ids=lambda address: address.name)
def test_each_address_says_which_methods_it_takes(signed_in: Client, address: Address) -> None:
    if address.name in OPEN_BY_SECRET:
        return
    answer = signed_in.generic("PATCH", address.path)
    assert answer.status_code == HTTPStatus.METHOD_NOT_ALLOWED


@pytest.mark.django_db
@pytest.mark.parametrize("name", sorted(OPEN_BY_SECRET))
@pytest.mark.parametrize("method", ["GET", "POST", "PATCH"])
def test_a_wrong_secret_tells_nothing(client: Client, name: str, method: str) -> None:
    address = next(address for address in ALL if address.name == name)
    answer = client.generic(method, address.path)
    assert answer.status_code in {HTTPStatus.NOT_FOUND, HTTPStatus.METHOD_NOT_ALLOWED}


@pytest.mark.parametrize("address", ALL, ids=lambda address: address.name)
def test_an_account_without_studio_gets_no_further_than_the_first_run(
    client: Client, studio: Studio, django_user_model: Any, address: Address
) -> None:
    if is_open(address) or address.name in WITHOUT_STUDIO:
        return
    client.force_login(django_user_model.objects.create_user("newcomer@example.org"))
    answer = client.get(address.path)
    assert answer.status_code == HTTPStatus.FOUND
    assert answer.headers["Location"] == reverse("access:first_run")


def test_an_account_without_studio_can_leave(
    client: Client, studio: Studio, django_user_model: Any
) -> None:
    client.force_login(django_user_model.objects.create_user("newcomer@example.org"))
    assert client.post(reverse("access:sign_out")).headers["Location"] == reverse("access:sign_in")


@pytest.mark.parametrize("address", ALL, ids=lambda address: address.name)
def test_a_thing_that_does_not_exist_is_not_found(signed_in: Client, address: Address) -> None:
    """No address with a number or a word in it answers for any number or word."""
    if is_open(address) or "987654" not in address.path:
        return
    for method in ("GET", "POST"):
        answer = signed_in.generic(method, address.path)
        assert answer.status_code in {HTTPStatus.NOT_FOUND, HTTPStatus.METHOD_NOT_ALLOWED}
