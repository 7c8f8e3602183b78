"""Door, settings, record, help, erasing and terms in German."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING
from unittest.mock import Mock

import pytest
from django.db import OperationalError
from django.test import Client
from django.utils import translation

from studio.record.models import By, RecordEntry, What
from studio.terms.country_names import NAMES
from studio.terms.public_holidays import countries
from tests.factories import NOW, ClosureFactory, LessonFactory, TermFactory
from tests.language.leftover import left_in_english

if TYPE_CHECKING:
    from studio.models import Student, Studio, Term

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("frozen")]


@pytest.fixture
def term(studio: Studio, student: Student) -> Term:
    """With a lesson, a closed week and a closed day."""
    LessonFactory.create(student=student)
    for first, last in ((21, 27), (7, 7)):
        days = {"starts": dt.date(2026, 12, first), "ends": dt.date(2026, 12, last)}
        ClosureFactory.create(studio=studio, name="Frei", **days)
    made: Term = TermFactory.create(studio=studio, name="Herbst")
    return made


def test_what_is_left_is_found() -> None:
    assert left_in_english("<p>Sign in</p><i aria-label='x'></i><h1>Herein!</h1>") == {"Sign in"}
    assert left_in_english('<a aria-label="Sign out">x</a><code>Sign in</code>') == {"Sign out"}


@pytest.mark.parametrize("address", ["/sign-in/", "/ticket/used/", "/nowhere/"])
def test_the_door_speaks_as_the_browser_does(client: Client, studio: Studio, address: str) -> None:
    answer = client.get(
        address, headers={"Accept-Language": "de-CH,en;q=0.5"}, HTTP_HOST="127.0.0.1", follow=True
    )
    page = answer.content.decode()
    assert '<html lang="de">' in page
    assert left_in_english(page) == set()


def test_a_wrong_host_is_told_in_the_language_of_this_browser(client: Client) -> None:
    """So early that nobody has set a language yet: not in that of whoever came before."""
    with translation.override("fr"):
        page = client.get("/", HTTP_HOST="wrong.example", headers={"Accept-Language": "de"})
    assert "Die Adresse passt nicht." in page.content.decode()
    assert '<html lang="de">' in page.content.decode()


def test_a_refused_sign_in_is_told_in_german(client: Client, studio: Studio) -> None:
    sent = {"email": "nobody@example.org", "password": "wrong"}
    german = {"Accept-Language": "de"}
    page = client.post("/sign-in/", sent, headers=german).content.decode()
    assert "Mit dieser E-Mail-Adresse und diesem Passwort öffnet sich kein Studio." in page
    for _ in range(10):
        page = client.post("/sign-in/", sent, headers=german).content.decode()
    assert "Der nächste ist in 2 Minuten möglich." in page


@pytest.mark.parametrize(
    "address",
    [
        "/settings/",
        "/settings/password/",
        "/settings/record/",
        "/help/first-hour/",
        "/help/running/",
        "/families/{family}/erase/",
        "/families/{family}/erase/?look",
        "/calendar/terms/",
        "/calendar/terms/add/",
        "/calendar/terms/{term}/edit/",
        "/calendar/terms/{term}/ledger/",
        "/calendar/terms/{term}/families/{family}/",
        "/calendar/closures/add/",
        "/calendar/closures/holidays/?country=DE",
    ],
)
def test_no_sentence_stays_english(
    german: Client, term: Term, student: Student, address: str
) -> None:
    whole = address.format(term=term.pk, family=student.family_id)
    answer = german.get(whole, headers={"Accept-Language": "en"})
    assert answer.status_code == 200
    assert left_in_english(answer.content.decode()) == set()


def test_days_stand_in_the_order_of_the_language(german: Client, term: Term) -> None:
    page = german.get("/calendar/terms/").content.decode()
    assert "14. September 2026 bis 11. Dezember 2026, 1 Stunde" in " ".join(page.split())
    assert "Mo, 21. Dez" in page


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"ends": "10.1.2027"}, "Der 10. Januar 2027 liegt vor dem ersten Tag, dem 11. Januar"),
        ({"ends": "bald"}, "„bald“ ist kein Tag. Ein Tag sieht so aus: 14.9.2026."),
        ({"name": ""}, "„Name“ fehlt."),
        ({"name": "x" * 99}, "99 Zeichen sind zu viel; höchstens 80 passen."),
    ],
)
def test_refusals_name_field_and_value(
    german: Client, wrong: dict[str, str], sentence: str
) -> None:
    sent = {"name": "Winter", "starts": "11.1.2027", "ends": "26.3.2027"} | wrong
    answer = german.post("/calendar/terms/add/", sent)
    assert answer.status_code == 422
    assert sentence in answer.content.decode()


def test_a_day_may_be_typed_as_germans_do(german: Client, studio: Studio) -> None:
    sent = {"name": "Winter", "starts": "11.1.2027", "ends": "26.3.2027"}
    german.post("/calendar/terms/add/", sent)
    assert studio.terms.get().starts == dt.date(2027, 1, 11)


@pytest.mark.parametrize(
    ("password", "sentence"),
    [
        ("kurz", "Das ist zu kurz: mindestens 10 Zeichen."),
        ("password123", "Das ist zu gebräuchlich"),
    ],
)
def test_a_poor_password_is_refused_in_german(german: Client, password: str, sentence: str) -> None:
    sent = {"old_password": "five strings minus one", "password": password}
    page = german.post("/settings/password/", sent).content.decode()
    assert sentence in page
    assert "Tippen Sie das Passwort noch einmal ein." in page


def test_the_record_keeps_nouns_as_they_are_written(german: Client, studio: Studio) -> None:
    german.post("/settings/", {"locale": "de", "name": "Saitenspiel"})  # refused: notes nothing
    assert not RecordEntry.objects.exists()
    known = german.get("/settings/").context["form"]
    sent = {name: known[name].value() for name in known.fields}
    german.post("/settings/", sent | {"name": "Saitenspiel", "paper": "Letter"})
    assert RecordEntry.objects.get().detail == "Name des Studios, Papier"


def test_the_record_says_who_and_whence(german: Client, studio: Studio) -> None:
    RecordEntry.objects.create(
        studio=studio, what=What.SIGN_IN_FAILED, by=By.STRANGER, address="10.0.0.7", moment=NOW
    )
    page = german.get("/settings/record/").content.decode()
    assert "Eine Anmeldung ist gescheitert" in page
    assert "jemand, der nicht angemeldet war, von 10.0.0.7" in page


@pytest.mark.parametrize("part", [{}, {"HX-Request": "true"}], ids=["page", "part"])
def test_what_the_database_refuses_is_told_in_german(
    german: Client, monkeypatch: pytest.MonkeyPatch, part: dict[str, str]
) -> None:
    known = german.get("/settings/").context["form"]
    sent = {name: known[name].value() for name in known.fields}
    monkeypatch.setattr("studio.access.views.note", Mock(side_effect=OperationalError("locked")))
    german.raise_request_exception = False
    answer = german.post("/settings/", sent | {"name": "Saitenspiel am Markt"}, headers=part)
    page = answer.content.decode()
    assert answer.status_code == 503
    assert "Warten Sie ein wenig, dann" in page
    assert left_in_english(page) == set()


def test_a_stumble_is_told_in_german(german: Client, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("studio.access.views.SettingsForm", Mock(side_effect=RuntimeError))
    german.raise_request_exception = False
    page = german.get("/settings/", headers={"Accept-Language": "en"}).content.decode()
    assert '<h1 class="door-title">Das ging schief.</h1>' in page
    assert left_in_english(page) == set()


def test_countries_are_named_and_sorted_in_german() -> None:
    assert {code for code, _ in countries()} == set(NAMES)
    with translation.override("de"):
        names = [name for _, name in countries()]
    assert "Deutschland" in names
    assert names.index("Ägypten") < names.index("Albanien") < names.index("Österreich")
    assert names.index("Österreich") < names.index("Polen")
