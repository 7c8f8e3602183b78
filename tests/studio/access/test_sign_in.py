"""The teacher's door."""

from __future__ import annotations

from http import HTTPStatus
from typing import TYPE_CHECKING

import pytest
from django.contrib.auth.hashers import MD5PasswordHasher
from django.contrib.sessions.models import Session
from django.test import Client
from django.urls import reverse

if TYPE_CHECKING:
    from django.contrib.auth.models import User
    from django.http import HttpResponse

    from studio.models import Studio
from studio.access.sessions import kept_as
from tests.conftest import FrozenClock

PASSWORD = "five strings minus one"


def try_password(client: Client, email: str, password: str, **more: str) -> HttpResponse:
    sent = {"email": email, "password": password, **more}
    return client.post(reverse("access:sign_in"), sent)  # type: ignore[return-value]


@pytest.fixture
def settings_url() -> str:
    return reverse("access:settings")


def test_the_right_password_opens_the_page_that_was_asked_for(
    client: Client, teacher: User, settings_url: str
) -> None:
    asked = client.get(settings_url)
    assert asked.headers["Location"] == f"{reverse('access:sign_in')}?next=%2Fsettings%2F"
    page = client.get(asked.headers["Location"])
    assert 'name="next" value="/settings/"' in page.content.decode()
    answer = try_password(client, teacher.username, PASSWORD, next=settings_url)
    assert answer.status_code == HTTPStatus.FOUND
    assert answer.headers["Location"] == settings_url
    assert client.get(settings_url).status_code == HTTPStatus.OK


def test_capitals_and_blanks_round_the_address_do_not_matter(client: Client, teacher: User) -> None:
    answer = try_password(client, f"  {teacher.username.upper()} ", PASSWORD)
    assert answer.status_code == HTTPStatus.FOUND


def test_wrong_password_and_unknown_account_get_the_same_answer(
    client: Client, teacher: User, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Same words and the same work, so neither text nor time tells who has an account."""
    hashed: list[str] = []
    encode = MD5PasswordHasher.encode

    def counting(hasher: MD5PasswordHasher, password: str, salt: str) -> str:
        hashed.append(password)
        return encode(hasher, password, salt)

    monkeypatch.setattr(MD5PasswordHasher, "encode", counting)
    wrong = try_password(client, teacher.username, "not this one")
    after_wrong = len(hashed)
    unknown = try_password(client, "nobody@example.org", "not this one")
    assert wrong.status_code == unknown.status_code == HTTPStatus.UNPROCESSABLE_ENTITY
    assert "No studio opens with this e-mail and this password" in wrong.content.decode()
    assert words_of(wrong, teacher.username) == words_of(unknown, "nobody@example.org")
    assert after_wrong == len(hashed) - after_wrong == 1


def words_of(answer: HttpResponse, email: str) -> list[str]:
    """The page without what differs anyway: the address typed and the form's one-time token."""
    text = answer.content.decode().replace(email, "")
    return [line for line in text.splitlines() if "csrf" not in line]


def test_the_typed_address_is_kept_and_the_password_is_not(client: Client, teacher: User) -> None:
    page = try_password(client, "marisol@example.org", "my secret word").content.decode()
    assert 'value="marisol@example.org"' in page
    assert "my secret word" not in page


def test_guessing_one_account_is_slowed_even_from_many_places(
    teacher: User, frozen: FrozenClock
) -> None:
    for guess in range(10):
        client = Client(REMOTE_ADDR=f"198.51.100.{guess}")
        assert try_password(client, teacher.username, f"guess {guess}").status_code == 422
    client = Client(REMOTE_ADDR="198.51.100.99")
    refused = try_password(client, teacher.username, PASSWORD)
    assert refused.status_code == HTTPStatus.TOO_MANY_REQUESTS
    assert "The next one is free in 2 minutes." in refused.content.decode()
    frozen.move(seconds=90)
    assert try_password(client, teacher.username, PASSWORD).status_code == HTTPStatus.FOUND


def test_guessing_many_accounts_from_one_place_is_slowed(
    client: Client, teacher: User, frozen: FrozenClock
) -> None:
    answers = [try_password(client, f"a{n}@example.org", "guess").status_code for n in range(21)]
    assert answers == [422] * 20 + [429]
    elsewhere = Client(REMOTE_ADDR="198.51.100.1")
    assert try_password(elsewhere, teacher.username, PASSWORD).status_code == HTTPStatus.FOUND


def test_a_refused_account_that_does_not_exist_looks_like_one_that_does(
    teacher: User, frozen: FrozenClock
) -> None:
    answers = set()
    for email in (teacher.username, "nobody@example.org"):
        for guess in range(11):
            client = Client(REMOTE_ADDR=f"198.51.100.{guess}")
            answer = try_password(client, email, f"guess {guess}")
        answers.add((answer.status_code, *words_of(answer, email)))
    assert len(answers) == 1


def test_success_forgives_earlier_slips(client: Client, teacher: User, frozen: FrozenClock) -> None:
    for _ in range(9):
        try_password(client, teacher.username, "slip")
    try_password(client, teacher.username, PASSWORD)
    client.logout()
    answers = [try_password(client, teacher.username, "slip").status_code for _ in range(9)]
    assert answers == [422] * 9


@pytest.mark.parametrize(
    "page", ["https://elsewhere.example/", "//elsewhere.example", "javascript:1", "0", "students"]
)
def test_no_address_of_another_site_is_followed(client: Client, teacher: User, page: str) -> None:
    answer = try_password(client, teacher.username, PASSWORD, next=page)
    assert answer.headers["Location"] == "/"


def test_the_session_lives_in_the_database_for_a_month(client: Client, teacher: User) -> None:
    try_password(client, teacher.username, PASSWORD)
    cookie = client.cookies["sessionid"]
    assert Session.objects.filter(pk=kept_as(cookie.value)).exists()
    assert cookie["max-age"] == 30 * 24 * 3600
    assert cookie["httponly"]
    assert cookie["samesite"] == "Lax"


def test_signing_in_changes_the_session_key(client: Client, teacher: User) -> None:
    client.session.save()
    before = client.session.session_key
    try_password(client, teacher.username, PASSWORD)
    assert client.session.session_key != before


def test_an_account_that_was_closed_stays_out(client: Client, teacher: User) -> None:
    teacher.is_active = False
    teacher.save()
    assert try_password(client, teacher.username, PASSWORD).status_code == 422


def test_signing_out_needs_a_post_and_ends_the_session(
    signed_in: Client, settings_url: str
) -> None:
    sign_out = reverse("access:sign_out")
    assert signed_in.get(sign_out).status_code == HTTPStatus.METHOD_NOT_ALLOWED
    assert signed_in.post(sign_out).headers["Location"] == reverse("access:sign_in")
    assert signed_in.get(settings_url).status_code == HTTPStatus.FOUND


def test_a_form_of_another_site_is_refused(teacher: User) -> None:
    strict = Client(enforce_csrf_checks=True)
    answer = try_password(strict, teacher.username, PASSWORD)
    assert answer.status_code == HTTPStatus.FORBIDDEN
    assert "This page is too old." in answer.content.decode()


def test_without_any_studio_the_door_leads_to_the_first_run(client: Client, db: None) -> None:
    answer = client.get(reverse("access:sign_in"))
    assert answer.headers["Location"] == reverse("access:first_run")


def test_signed_in_the_door_leads_on(signed_in: Client, studio: Studio) -> None:
    assert signed_in.get(reverse("access:sign_in")).headers["Location"] == "/"


def test_an_upload_on_the_door_is_told(client: Client, teacher: User) -> None:
    from io import BytesIO

    sent = {"email": teacher.username, "password": PASSWORD, "extra": BytesIO(b"x")}
    answer = client.post(reverse("access:sign_in"), sent)
    assert answer.status_code == 422
    assert "no file belongs on this page" in answer.content.decode()
