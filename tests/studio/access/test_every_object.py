"""Every address that names an object is asked for another teacher's; a new one needs a rule."""

from __future__ import annotations

from collections.abc import Iterator
from http import HTTPStatus
from typing import TYPE_CHECKING, Any

import pytest
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver, reverse

from tests.studio.access.world import OBJECTS, SECRETS, VALUES, World, arguments, let_go

if TYPE_CHECKING:
    from studio.models import Studio

CLOSED = {HTTPStatus.NOT_FOUND, HTTPStatus.METHOD_NOT_ALLOWED}
# Where even her own object, in the state a factory makes it, leads nowhere; each for its reason.
NOTHING_YET = {
    "lessons:family-code": "the family has no calendar address",
    "reports:edition-pdf": "no report was given",
    "home:report": "no report was given",
    "home:report-pdf": "no report was given",
    "printing:pdf": "the job is not printed yet",
    "printing:zip": "the job is not printed yet",
    "sheet-print": "the factory's week cannot be built again",
    "bench-heard": "nothing was said that could be heard",
    "repertoire:fingering": "the student has no scale in hand",
    "scores:etude": "the score's work is no etude",
    "home:link-code": "the factory's link has no secret",
}


def routes(patterns: list[Any], before: str = "", space: str = "") -> Iterator[tuple[str, str]]:
    for pattern in patterns:
        route = f"{before}{pattern.pattern}"
        if isinstance(pattern, URLResolver):
            inner = f"{space}{pattern.namespace}:" if pattern.namespace else space
            yield from routes(pattern.url_patterns, route, inner)
        elif isinstance(pattern, URLPattern):
            yield f"{space}{pattern.name}", route


ALL = dict(routes(get_resolver().url_patterns))
WITH_OBJECT = {
    name: arguments(route)
    for name, route in ALL.items()
    if OBJECTS.keys() & set(arguments(route).values())
}


def test_every_argument_of_an_address_has_a_rule() -> None:
    known = OBJECTS.keys() | VALUES.keys() | SECRETS
    assert {
        name: key
        for name, route in ALL.items()
        for key in arguments(route).values()
        if key not in known
    } == {}


def test_every_rule_is_needed() -> None:
    used = {key for route in ALL.values() for key in arguments(route).values()}
    assert (OBJECTS.keys() | VALUES.keys() | SECRETS) - used == set()
    assert NOTHING_YET.keys() - ALL.keys() == set()


def address(name: str, hers: World, theirs: World, foreign: set[str]) -> str:
    """The address with her own objects, except for the arguments in `foreign`."""
    chosen = {}
    for argument, key in WITH_OBJECT[name].items():
        if key in SECRETS:
            chosen[argument] = hers.secret
        elif key in VALUES:
            chosen[argument] = VALUES[key]
        else:
            made = OBJECTS[key](theirs if argument in foreign else hers)
            chosen[argument] = made.pk
    return reverse(name, kwargs=chosen)


def objects_in(name: str) -> list[str]:
    return [argument for argument, key in WITH_OBJECT[name].items() if key in OBJECTS]


@pytest.mark.parametrize(
    ("name", "argument"),
    [(name, argument) for name in sorted(WITH_OBJECT) for argument in objects_in(name)],
)
def test_another_teachers_object_is_not_found(
    signed_in: Client, studio: Studio, other_studio: Studio, name: str, argument: str
) -> None:
    """One argument is theirs, the others hers; then all of them are theirs."""
    hers, theirs = World(studio), World(other_studio)
    for foreign in ({argument}, set(objects_in(name))):
        where = address(name, hers, theirs, foreign)
        for method in ("GET", "POST"):
            answer = signed_in.generic(method, where)
            assert answer.status_code in CLOSED, f"{method} {where}"
        assert {signed_in.get(where).status_code, signed_in.post(where).status_code} & {404}


@pytest.mark.parametrize("name", sorted(WITH_OBJECT.keys() - NOTHING_YET))
def test_her_own_is_found(
    signed_in: Client, studio: Studio, other_studio: Studio, name: str
) -> None:
    """So that the test above fails when a guard is missing, not because nothing is there."""
    hers = World(studio)
    where = address(name, hers, World(other_studio), set())
    for method in (signed_in.get, signed_in.post):
        answer = method(where)
        let_go(answer)
        if answer.status_code not in CLOSED:
            return
    pytest.fail(f"{where} is not found")
