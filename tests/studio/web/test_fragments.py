"""The whole page for a browser, a part of it for htmx."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.template import engines
from django_htmx.middleware import HtmxDetails

from studio.web import fragments

if TYPE_CHECKING:
    from django.http import HttpRequest
    from django.test import RequestFactory


def request_with(rf: RequestFactory, **headers: str) -> HttpRequest:
    request = rf.get("/", headers=headers)
    request.htmx = HtmxDetails(request)  # type: ignore[attr-defined]
    return request


@pytest.mark.parametrize(
    ("headers", "expected"),
    [
        ({}, False),
        ({"HX-Request": "true"}, True),
        ({"HX-Request": "true", "HX-Boosted": "true"}, False),
        ({"HX-Request": "true", "HX-History-Restore-Request": "true"}, False),
    ],
    ids=["browser", "htmx", "boosted link", "back in the history"],
)
def test_only_htmx_asking_for_a_part_gets_one(
    rf: RequestFactory, headers: dict[str, str], expected: bool
) -> None:
    assert fragments.wants_fragment(request_with(rf, **headers)) is expected


def test_page_and_part_come_from_the_same_data(
    rf: RequestFactory, monkeypatch: pytest.MonkeyPatch
) -> None:
    made = {"page": "<main>{{ word }}</main>", "part": "{{ word }}"}
    django = engines["django"]

    def render(request: HttpRequest, name: str, context: dict[str, str], status: int) -> object:
        from django.http import HttpResponse

        return HttpResponse(django.from_string(made[name]).render(context), status=status)

    monkeypatch.setattr(fragments, "render", render)
    plain = request_with(rf)
    part = request_with(rf, **{"HX-Request": "true"})
    whole = fragments.page_or_fragment(plain, "page", "part", {"word": "bow"}, status=422)
    piece = fragments.page_or_fragment(part, "page", "part", {"word": "bow"})
    assert (whole.content, whole.status_code) == (b"<main>bow</main>", 422)
    assert (piece.content, piece.status_code) == (b"bow", 200)
    assert whole.headers["Vary"] == "HX-Request"
