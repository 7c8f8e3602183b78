"""A browser that asks for an icon by itself gets the studio's own."""

from __future__ import annotations

from django.contrib.staticfiles import finders
from django.test import Client


def test_the_icon_is_our_own_and_asks_nobody_for_a_sign_in(client: Client) -> None:
    answer = client.get("/favicon.ico")
    assert answer.status_code == 302
    where = answer.headers["Location"]
    assert where.startswith("/static/icons/studio")
    assert finders.find("icons/studio.svg")
