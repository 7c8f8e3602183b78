"""Sessions work as Django's do, and the table holds no key that a cookie could carry."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.conf import settings
from django.contrib.sessions.models import Session
from django.test import Client
from django.urls import reverse

from studio.access.sessions import SessionStore

if TYPE_CHECKING:
    from studio.models import Studio


def cookie(client: Client) -> str:
    return client.cookies[settings.SESSION_COOKIE_NAME].value


def test_what_stands_in_the_table_opens_nothing(signed_in: Client, studio: Studio) -> None:
    (row,) = Session.objects.all()
    key = cookie(signed_in)
    assert key not in (row.session_key, row.session_data)
    assert signed_in.get("/settings/").status_code == 200
    thief = Client()
    thief.cookies[settings.SESSION_COOKIE_NAME] = row.session_key
    assert thief.get("/settings/").status_code == 302


def test_signing_out_leaves_no_row_and_the_cookie_opens_nothing(signed_in: Client) -> None:
    key = cookie(signed_in)
    signed_in.post(reverse("access:sign_out"))
    assert not SessionStore().exists(key)
    again = Client()
    again.cookies[settings.SESSION_COOKIE_NAME] = key
    assert again.get("/settings/").status_code == 302


@pytest.mark.django_db
def test_kept_found_changed_renewed_and_deleted() -> None:
    made = SessionStore()
    made["day"] = "Monday"
    made.save()
    key = made.session_key
    assert key
    found = SessionStore(key)
    assert found["day"] == "Monday"
    found["day"] = "Tuesday"
    found.save()
    assert SessionStore(key)["day"] == "Tuesday"
    found.cycle_key()
    assert not SessionStore().exists(key)
    assert SessionStore(found.session_key)["day"] == "Tuesday"
    found.delete()
    assert Session.objects.count() == 0


@pytest.mark.django_db
def test_an_unknown_key_is_not_taken_up() -> None:
    store = SessionStore("a" * 32)
    assert store.load() == {}
    assert store.session_key is None


@pytest.mark.django_db
def test_one_that_is_over_is_not_found() -> None:
    made = SessionStore()
    made.set_expiry(-1)
    made.save()
    assert SessionStore(made.session_key).load() == {}
