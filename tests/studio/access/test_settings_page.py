"""What a teacher may change about her studio and her account."""

from __future__ import annotations

from http import HTTPStatus
from typing import TYPE_CHECKING

import pytest
from django.db import IntegrityError, transaction
from django.test import Client
from django.urls import reverse

from studio.models import Studio

if TYPE_CHECKING:
    from django.contrib.auth.models import User

    from tests.conftest import FrozenClock

KEPT = {
    "locale": "en",
    "name": "Achterberg Violin Studio",
    "teacher": "Marisol",
    "paper": "Letter",
    "clock_24h": "no",
    "week_start": "6",
    "rest_after": "30",
    "rest_minutes": "6",
    "growth_limit_percent": "20",
    "steady_lessons": "3",
    "a4_hz": "442",
    "note_names": "german",
    "own_link_age": "13",
}
PASSWORD = "five strings minus one"
NEW = "four strings and a bow"


def test_settings_are_kept(signed_in: Client, studio: Studio) -> None:
    answer = signed_in.post(reverse("access:settings"), KEPT)
    assert answer.headers["Location"] == reverse("access:settings")
    studio.refresh_from_db()
    assert {name: str(getattr(studio, name)) for name in KEPT if name != "clock_24h"} == {
        name: value for name, value in KEPT.items() if name != "clock_24h"
    }
    assert studio.clock_24h is False
    page = signed_in.get(reverse("access:settings")).content.decode()
    assert '<input type="radio" name="clock_24h" value="no"' in page
    assert "The settings are kept." in page


@pytest.mark.parametrize(
    ("field", "value", "sentence"),
    [
        ("a4_hz", "447", "447 is too much; at most 446."),
        ("a4_hz", "414", "414 is too little; at least 415."),
        ("own_link_age", "4", "4 is too little; at least 5."),
        ("rest_after", "9", "9 is too little; at least 10."),
        ("steady_lessons", "two", "“two” is not a whole number."),
        ("locale", "fr", "fr is not one of the available choices."),
        ("note_names", "colours", "colours is not one of the available choices."),
        ("teacher", "", "Write the name your students know you by."),
    ],
)
def test_a_setting_out_of_range_is_told_and_nothing_changes(
    signed_in: Client, studio: Studio, field: str, value: str, sentence: str
) -> None:
    answer = signed_in.post(reverse("access:settings"), KEPT | {field: value, "name": "Other"})
    assert answer.status_code == HTTPStatus.UNPROCESSABLE_ENTITY
    page = answer.content.decode()
    assert sentence in page
    assert 'value="Other"' in page
    assert '<a class="where-name" href="/">Achterberg Violin Studio</a>' in page
    studio.refresh_from_db()
    assert (studio.name, studio.a4_hz) == ("Achterberg Violin Studio", 440)


@pytest.mark.parametrize(
    ("field", "value"),
    [("a4_hz", 414), ("rest_after", 91), ("week_start", 7), ("steady_lessons", 0), ("paper", "A5")],
)
def test_the_database_refuses_what_no_form_checked(
    studio: Studio, field: str, value: object
) -> None:
    with pytest.raises(IntegrityError), transaction.atomic():
        Studio.objects.filter(pk=studio.pk).update(**{field: value})


def test_another_language_is_spoken_from_the_next_sentence_on(
    signed_in: Client, studio: Studio
) -> None:
    answer = signed_in.post(reverse("access:settings"), KEPT | {"locale": "de"}, follow=True)
    page = answer.content.decode()
    assert '<html lang="de">' in page
    assert '<h1 class="page-title">Einstellungen</h1>' in page
    assert "Die Einstellungen gelten ab jetzt." in page
    signed_in.post(reverse("access:settings"), KEPT | {"locale": "en"})
    assert '<h1 class="page-title">Settings</h1>' in signed_in.get("/settings/").content.decode()


def test_notes_are_called_as_chosen(signed_in: Client, studio: Studio) -> None:
    """In an English studio too; an empty choice leaves it to the language."""
    signed_in.post(reverse("access:settings"), KEPT)
    studio.refresh_from_db()
    assert studio.note_names == "german"
    page = signed_in.get(reverse("access:settings")).content.decode()
    assert '<option value="german" selected>C, Fis, B, H</option>' in page
    signed_in.post(reverse("access:settings"), KEPT | {"note_names": ""})
    studio.refresh_from_db()
    assert studio.note_names == ""


def test_the_zone_is_not_changed_in_passing(signed_in: Client, studio: Studio) -> None:
    """It moves lessons, so a page of its own asks what becomes of them."""
    signed_in.post(reverse("access:settings"), KEPT | {"zone": "Pacific/Auckland"})
    studio.refresh_from_db()
    assert (studio.zone, studio.a4_hz) == ("Europe/Lisbon", 442)


def test_one_teacher_changes_her_own_studio_only(
    signed_in: Client, studio: Studio, other_studio: Studio
) -> None:
    signed_in.post(reverse("access:settings"), KEPT | {"name": "Renamed"})
    other_studio.refresh_from_db()
    assert other_studio.name == "Lindqvist Strings"


def test_the_page_asks_the_database_twice(
    signed_in: Client, django_assert_num_queries: object
) -> None:
    with django_assert_num_queries(2):  # type: ignore[operator]  # session; teacher with studio
        signed_in.get(reverse("access:settings"))


def change_password(client: Client, old: str, new: str = NEW, again: str = NEW) -> int:
    sent = {"old_password": old, "password": new, "password_again": again}
    return client.post(reverse("access:password"), sent).status_code


def test_a_new_password_ends_every_other_session(signed_in: Client, teacher: User) -> None:
    tablet = Client()
    tablet.force_login(teacher)
    assert change_password(signed_in, PASSWORD) == HTTPStatus.FOUND
    assert signed_in.get(reverse("access:settings")).status_code == HTTPStatus.OK
    assert tablet.get(reverse("access:settings")).status_code == HTTPStatus.FOUND
    teacher.refresh_from_db()
    assert teacher.check_password(NEW)


@pytest.mark.parametrize(
    ("old", "new", "again"),
    [("wrong one", NEW, NEW), (PASSWORD, NEW, "other"), (PASSWORD, "short", "short")],
    ids=["old one wrong", "typed twice differently", "too short"],
)
def test_a_password_that_does_not_fit_changes_nothing(
    signed_in: Client, teacher: User, old: str, new: str, again: str
) -> None:
    assert change_password(signed_in, old, new, again) == HTTPStatus.UNPROCESSABLE_ENTITY
    teacher.refresh_from_db()
    assert teacher.check_password(PASSWORD)


def test_a_borrowed_session_cannot_guess_the_password(
    signed_in: Client, frozen: FrozenClock
) -> None:
    answers = [change_password(signed_in, f"guess {n}") for n in range(11)]
    assert answers == [422] * 10 + [429]
    assert change_password(signed_in, PASSWORD) == HTTPStatus.TOO_MANY_REQUESTS


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("rest_after", "A habit of the trade, no medical figure."),
        ("rest_minutes", "It counts as no practice."),
        ("growth_limit_percent", "It blocks nothing."),
        ("steady_lessons", "whether to move on is yours to decide."),
        ("a4_hz", "most tune to 440"),
    ],
)
def test_each_rule_of_thumb_says_what_it_does(signed_in: Client, name: str, words: str) -> None:
    page = signed_in.get("/settings/").content.decode()
    assert f'name="{name}"' in page
    help_text = page.split(f'id="id_{name}_helptext"')[-1].split("</div>")[0]
    assert words in help_text
