"""What every answer tells the browser, and what the pages obey in return."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.urls import reverse

if TYPE_CHECKING:
    from django.test import Client

    from studio.models import Studio

STRICT = {
    "default-src": "'self'",
    "script-src": "'self'",
    "style-src": "'self'",
    "object-src": "'none'",
    "base-uri": "'none'",
    "form-action": "'self'",
    "frame-ancestors": "'none'",
}


def policy(header: str) -> dict[str, str]:
    directives = (part.strip().partition(" ") for part in header.split(";"))
    return {name: value for name, _, value in directives}


@pytest.mark.parametrize("path", ["/sign-in/", "/nothing-here/", "/static/icons/studio.svg"])
def test_every_document_carries_the_strict_policy(
    client: Client, studio: Studio, path: str
) -> None:
    headers = client.head(path).headers
    assert policy(headers["Content-Security-Policy"]) == STRICT
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Referrer-Policy"] == "same-origin"
    assert headers["Cross-Origin-Opener-Policy"] == "same-origin"
    assert headers["Cross-Origin-Resource-Policy"] == "same-origin"
    assert "camera=()" in headers["Permissions-Policy"]
    assert headers["X-Robots-Tag"] == "noindex"


@pytest.mark.parametrize("path", ["/static/css/base.css", "/static/fonts/studio-signs-400.woff2"])
def test_what_is_never_a_document_carries_no_policy_for_one(client: Client, path: str) -> None:
    headers = client.head(path).headers
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Cross-Origin-Resource-Policy"] == "same-origin"
    assert not {"Content-Security-Policy", "Permissions-Policy"} & headers.keys()


def test_pages_stay_out_of_shared_caches(signed_in: Client) -> None:
    assert "private" in signed_in.get(reverse("access:settings")).headers["Cache-Control"]


def test_pages_cannot_be_framed(client: Client, studio: Studio) -> None:
    assert client.get(reverse("access:sign_in")).headers["X-Frame-Options"] == "DENY"
