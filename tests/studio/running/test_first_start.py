"""What has run out is thrown away at the start."""

from __future__ import annotations

import datetime as dt

import pytest
from django.conf import settings
from django.contrib.sessions.backends.db import SessionStore
from django.contrib.sessions.models import Session

from studio.running import first_start
from tests.conftest import NOON, FrozenClock

pytestmark = pytest.mark.django_db


def test_a_session_of_a_clock_that_was_ahead_ends_with_those_of_today(frozen: FrozenClock) -> None:
    lasts = dt.timedelta(seconds=settings.SESSION_COOKIE_AGE)
    keys = {}
    for name, ends in {
        "over": NOON - dt.timedelta(seconds=1),
        "today's": NOON + lasts / 2,
        "of next year": NOON + lasts + dt.timedelta(days=400),
    }.items():
        session = SessionStore()
        session["who"] = name
        session.create()
        keys[name] = str(session.session_key)
        Session.objects.filter(pk=session.session_key).update(expire_date=ends)
    first_start.prepare_database(lambda: pytest.fail("nothing changes"))
    assert dict(Session.objects.values_list("session_key", "expire_date")) == {
        keys["today's"]: NOON + lasts / 2,
        keys["of next year"]: NOON + lasts,
    }
    assert Session.objects.get(pk=keys["of next year"]).get_decoded() == {"who": "of next year"}
