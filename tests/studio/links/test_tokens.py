import datetime as dt

import pytest
from django.test import override_settings

from studio.links import tokens
from studio.models import HomeLink, TeacherLink
from tests.factories import FamilyFactory, StudioFactory

pytestmark = pytest.mark.django_db
NOW = dt.datetime(2026, 11, 25, 12, 0, tzinfo=dt.UTC)


def make_link(**values: object) -> tuple[HomeLink, str]:
    link = HomeLink(family=FamilyFactory.create(), opens=HomeLink.Opens.CALENDAR, **values)
    return link, tokens.issue(link)


def test_a_secret_opens_its_own_link_only() -> None:
    first, token = make_link()
    second, other = make_link()
    assert tokens.find(HomeLink, token, NOW) == first
    assert tokens.find(HomeLink, other, NOW) == second
    assert tokens.find(TeacherLink, token, NOW) is None


def test_a_secret_has_at_least_128_bits_and_never_repeats() -> None:
    secrets = {make_link()[1] for _ in range(20)}
    assert len(secrets) == 20
    assert all(len(secret) * 6 >= 128 for secret in secrets)


def test_the_database_keeps_the_hash_and_not_the_secret() -> None:
    link, token = make_link(label="Fridge")
    kept = " ".join(
        str(value) for value in HomeLink.objects.filter(pk=link.pk).values()[0].values()
    )
    assert token not in kept
    assert tokens.hashed(token) in kept


@pytest.mark.parametrize("token", ["", "wrong", "x" * 5000, "ü", "\x00"])
def test_a_wrong_secret_opens_nothing(token: str) -> None:
    make_link()
    assert tokens.find(HomeLink, token, NOW) is None


def test_a_revoked_secret_opens_nothing_and_keeps_its_first_time() -> None:
    link, token = make_link()
    tokens.revoke(link, NOW)
    tokens.revoke(link, NOW + dt.timedelta(days=1))
    link.refresh_from_db()
    assert link.revoked == NOW
    assert tokens.find(HomeLink, token, NOW) is None


def test_an_expired_secret_opens_nothing() -> None:
    link, token = make_link(expires=NOW)
    assert tokens.find(HomeLink, token, NOW - dt.timedelta(seconds=1)) == link
    assert tokens.find(HomeLink, token, NOW) is None


def test_a_renewed_link_forgets_its_old_secret() -> None:
    link, old = make_link()
    new = tokens.issue(link)
    assert tokens.find(HomeLink, old, NOW) is None
    assert tokens.find(HomeLink, new, NOW) == link


def test_a_secret_can_be_shown_again_while_the_key_stays() -> None:
    link, token = make_link()
    link.refresh_from_db()
    assert tokens.shown_again(link) == token
    with override_settings(SECRET_KEY="another key of this installation, long enough to be one"):
        assert tokens.shown_again(link) is None
        assert tokens.find(HomeLink, token, NOW) == link


def test_a_use_is_noted_at_most_once_an_hour() -> None:
    link = TeacherLink(studio=StudioFactory.create())
    tokens.issue(link)
    tokens.used(link, NOW)
    tokens.used(link, NOW + dt.timedelta(minutes=59))
    assert TeacherLink.objects.get().last_used == NOW
    tokens.used(link, NOW + dt.timedelta(minutes=60))
    assert TeacherLink.objects.get().last_used == NOW + dt.timedelta(hours=1)


def test_a_use_noted_by_a_clock_that_was_ahead_gives_way() -> None:
    link = TeacherLink(studio=StudioFactory.create())
    tokens.issue(link)
    tokens.used(link, NOW + dt.timedelta(days=400))
    tokens.used(link, NOW)
    assert TeacherLink.objects.get().last_used == NOW


def test_an_expired_link_is_shut_again_when_a_clock_set_back_is_right_again() -> None:
    link = TeacherLink(studio=StudioFactory.create(), expires=NOW)
    token = tokens.issue(link)
    back = NOW - dt.timedelta(days=400)
    assert tokens.find(TeacherLink, token, back) == link
    tokens.used(link, back)
    tokens.revoke(link, back)
    assert tokens.find(TeacherLink, token, back) is None
    assert tokens.find(TeacherLink, token, NOW) is None
    assert TeacherLink.objects.get().expires == NOW
