"""Opening a studio in a fresh installation."""

from __future__ import annotations

from http import HTTPStatus
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.urls import reverse

from studio.access import guesses
from studio.models import Studio
from tests.conftest import FrozenClock

if TYPE_CHECKING:
    from pytest_django.fixtures import Settings

pytestmark = pytest.mark.django_db
ANSWERS = {
    "locale": "en",
    "name": "Quill Street Violins",
    "teacher": "Nguyễn Bảo Châu",
    "zone": "Asia/Kathmandu",
    "paper": "A4",
    "clock_24h": "no",
    "week_start": "6",
    "email": "Chau@Example.org",
    "password": "rosin and two pegs",
    "password_again": "rosin and two pegs",
}


@pytest.fixture
def here() -> Client:
    """A browser on the computer the program runs on."""
    return Client(HTTP_HOST="127.0.0.1")


def answer(client: Client, **changed: str) -> Any:
    return client.post(reverse("access:first_run"), ANSWERS | changed)


def test_every_page_of_a_fresh_installation_leads_here(here: Client) -> None:
    page = here.get(reverse("access:settings"), follow=True)
    assert page.redirect_chain[-1][0] == reverse("access:first_run")
    assert "Whose studio is this?" in page.content.decode()


def test_the_answers_make_a_studio_and_sign_its_teacher_in(here: Client) -> None:
    assert answer(here).headers["Location"] == "/"
    studio = Studio.objects.get()
    assert (studio.name, studio.teacher) == ("Quill Street Violins", "Nguyễn Bảo Châu")
    assert (studio.zone, studio.paper) == ("Asia/Kathmandu", "A4")
    assert (studio.clock_24h, studio.week_start) == (False, 6)
    assert studio.owner.username == "chau@example.org"
    assert studio.owner.check_password("rosin and two pegs")
    assert here.get(reverse("access:settings")).status_code == HTTPStatus.OK


@pytest.mark.parametrize(
    ("typed", "zone"),
    [
        ("Lisbon", "Europe/Lisbon"),
        (" new york ", "America/New_York"),
        ("Singapore", "Singapore"),
        ("Zürich", "Europe/Zurich"),
    ],
)
def test_the_city_alone_says_the_zone(here: Client, typed: str, zone: str) -> None:
    answer(here, zone=typed)
    assert Studio.objects.get().zone == zone


@pytest.mark.parametrize(
    ("changed", "sentence"),
    [
        ({"name": " "}, "Give the studio a name; your own will do."),
        ({"name": "Q" * 300}, "300 characters are too many"),
        ({"zone": "Europe/Atlantis"}, "“Europe/Atlantis” is no known time zone."),
        ({"zone": "../../etc/passwd"}, "is no known time zone."),
        ({"email": "chau at home"}, "is not an e-mail address."),
        ({"password_again": "rosin and three pegs"}, "The two differ."),
        ({"password": "short", "password_again": "short"}, "at least 10 characters"),
        ({"password": "password123", "password_again": "password123"}, "too common"),
        ({"password": "chau@example.org", "password_again": "chau@example.org"}, "too similar"),
        ({"week_start": "9"}, "9 is not one of the available choices"),
        ({"locale": "tlh"}, "tlh is not one of the available choices"),
        ({"paper": "papyrus"}, "papyrus is not one of the available choices"),
    ],
)
def test_an_answer_that_does_not_fit_is_told_and_the_rest_is_kept(
    here: Client, changed: dict[str, str], sentence: str
) -> None:
    page = answer(here, **changed)
    assert page.status_code == HTTPStatus.UNPROCESSABLE_ENTITY
    text = page.content.decode().replace("&#x27;", "'")
    assert sentence in text
    assert 'value="Nguyễn Bảo Châu"' in text
    assert not Studio.objects.exists()
    assert not User.objects.exists()


@pytest.mark.parametrize("name", ["<b>Ana</b>", "שרה לוי", "Łucja 🎻", "Şebnem O’Đức"])
def test_names_of_any_script_are_shown_as_typed(here: Client, name: str) -> None:
    answer(here, name=name)
    page = here.get(reverse("access:settings")).content.decode()
    assert f"{name}</a>".replace("<b>", "&lt;b&gt;").replace("</b>", "&lt;/b&gt;") in page


def test_the_page_is_gone_once_a_studio_exists(here: Client, studio: Studio) -> None:
    assert here.get(reverse("access:first_run")).headers["Location"] == reverse("access:sign_in")
    assert answer(here).headers["Location"] == reverse("access:sign_in")
    assert Studio.objects.count() == 1


def test_a_school_may_open_it_for_more(here: Client, studio: Studio, settings: Settings) -> None:
    settings.MORE_STUDIOS = True
    answer(here)
    assert Studio.objects.count() == 2


def test_one_address_opens_one_studio(here: Client, studio: Studio, settings: Settings) -> None:
    settings.MORE_STUDIOS = True
    page = answer(here, email=studio.owner.username.upper())
    assert f"{studio.owner.username} already opens a studio here" in page.content.decode()


def test_nobody_asks_for_account_after_account(
    client: Client, studio: Studio, settings: Settings, frozen: FrozenClock
) -> None:
    settings.MORE_STUDIOS = True
    answers = [answer(client, email="").status_code for _ in range(20)]
    assert answers == [422] * 20
    refused = answer(client, email=studio.owner.username)
    assert refused.status_code == HTTPStatus.TOO_MANY_REQUESTS
    assert "already opens a studio here" not in refused.content.decode()
    assert answer(client).status_code == HTTPStatus.TOO_MANY_REQUESTS
    frozen.move(seconds=60)
    assert answer(client).status_code == HTTPStatus.FOUND


def test_from_another_device_nobody_can_take_the_first_studio(settings: Settings) -> None:
    settings.ALLOWED_HOSTS = ["192.168.1.20"]
    phone = Client(REMOTE_ADDR="192.168.1.31", HTTP_HOST="192.168.1.20:8000")
    page = phone.post(reverse("access:first_run"), ANSWERS, SERVER_PORT="8000")
    assert page.status_code == HTTPStatus.FORBIDDEN
    assert "http://127.0.0.1:8000" in page.content.decode()
    assert not Studio.objects.exists()


def test_a_proxy_on_this_computer_does_not_make_strangers_near(settings: Settings) -> None:
    settings.ALLOWED_HOSTS = ["studio.example"]
    through_proxy = Client(REMOTE_ADDR="127.0.0.1", HTTP_HOST="studio.example")
    assert answer(through_proxy).status_code == HTTPStatus.FORBIDDEN


def test_an_account_without_a_studio_is_asked_for_one_and_for_no_password(
    client: Client, studio: Studio
) -> None:
    newcomer = User.objects.create_user("per@example.org")
    client.force_login(newcomer)
    assert client.get(reverse("access:settings")).headers["Location"] == reverse("access:first_run")
    page = client.get(reverse("access:first_run")).content.decode()
    assert "password" not in page
    answer(client, name="Lindqvist Strings")
    assert Studio.objects.get(name="Lindqvist Strings").owner == newcomer


@pytest.mark.parametrize(
    ("language", "locale", "paper", "clock", "week_start"),
    [
        ("en-US,en;q=0.9", "en", "Letter", "no", 6),
        ("en-GB", "en", "A4", "yes", 0),
        ("de", "de", "A4", "yes", 0),
        ("de-AT,de;q=0.9,en;q=0.8", "de", "A4", "yes", 0),
        ("fr-CA;q=1", "en", "Letter", "no", 6),
        ("fr-CH,de;q=0.7", "de", "A4", "yes", 0),
        ("", "en", "A4", "yes", 0),
        ("zh-Hant-TW", "en", "A4", "yes", 0),
        ("*;q=0.1", "en", "A4", "yes", 0),
    ],
)
def test_language_paper_clock_and_week_are_guessed_from_the_browser(
    here: Client, language: str, locale: str, paper: str, clock: str, week_start: int
) -> None:
    page = here.get(reverse("access:first_run"), headers={"Accept-Language": language})
    asked = {"locale": locale, "paper": paper, "clock_24h": clock, "week_start": week_start}
    assert {name: page.context["form"][name].value() for name in asked} == asked
    assert f'<html lang="{locale}">' in page.content.decode()


def test_a_german_browser_is_asked_in_german(here: Client) -> None:
    page = here.get(reverse("access:first_run"), headers={"Accept-Language": "de-AT"})
    text = page.content.decode()
    assert "Willkommen. Wessen Studio ist das?" in text
    assert "Whose studio" not in text


def test_the_language_chosen_is_that_of_the_studio_whatever_the_browser_says(here: Client) -> None:
    answer(here, locale="de")
    assert Studio.objects.get().locale == "de"
    page = here.get(reverse("access:settings"), headers={"Accept-Language": "en"})
    assert '<html lang="de">' in page.content.decode()


def test_the_zone_of_the_computer_is_the_first_answer(tmp_path: Path) -> None:
    localtime = tmp_path / "localtime"
    localtime.symlink_to("/usr/share/zoneinfo/America/St_Johns")
    assert guesses.zone_of_this_computer(localtime) == "America/St_Johns"


@pytest.mark.parametrize("target", ["/usr/share/zoneinfo/Etc/UTC", "/nowhere", "/zoneinfo/a/b"])
def test_a_computer_that_does_not_know_its_zone_guesses_none(tmp_path: Path, target: str) -> None:
    localtime = tmp_path / "localtime"
    localtime.symlink_to(target)
    assert guesses.zone_of_this_computer(localtime) == ""
