"""The home page by its plain requests: who opens it, what it takes, what it refuses."""

from __future__ import annotations

import datetime as dt
import json
import re
import uuid
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from practice.models import Assignment, Item, LogEntry, Spot, Word
from studio.links import tokens
from studio.models import HomeLink, Student
from tests import factories
from tests.factories import DAY, NOW
from tests.pages.home.weeks import day_url, items_of

pytestmark = pytest.mark.usefixtures("frozen")


def test_the_link_opens_today_without_a_password(
    client: Client, token: str, week: Assignment
) -> None:
    page = client.get(reverse("home:home", args=[token]))
    assert page.status_code == 200
    text = page.content.decode()
    assert "Imani’s Wednesday" in text.replace("<bdi>", "").replace("</bdi>", "")
    assert "Okonkwo-Reyes" not in text
    assert page.headers["Referrer-Policy"] == "no-referrer"


def test_wrong_revoked_expired_and_calendar_links_get_one_answer(
    client: Client, link: HomeLink, token: str, week: Assignment
) -> None:
    def answer(secret: str) -> tuple[int, bytes]:
        page = client.get(reverse("home:home", args=[secret]))
        return page.status_code, re.sub(rb'csrf-token" content="\w+"', b"", page.content)

    wrong = answer("A" * 32)
    assert wrong[0] == 404
    link.expires = NOW - dt.timedelta(seconds=1)
    link.save()
    assert answer(token) == wrong
    link.expires = None
    tokens.revoke(link, NOW)
    assert answer(token) == wrong
    calendar = HomeLink(opens=HomeLink.Opens.CALENDAR, family=link.family)
    assert answer(tokens.issue(calendar)) == wrong


def test_a_student_who_left_is_not_shown(client: Client, token: str, student: Student) -> None:
    student.status, student.left = Student.Status.LEFT, DAY
    student.save()
    assert client.get(day_url(token, student)).status_code == 404


def test_a_link_for_one_child_shows_no_sibling(client: Client, student: Student) -> None:
    sibling = factories.StudentFactory.create(family=student.family, given_name="Ngozi")
    own = HomeLink(opens=HomeLink.Opens.STUDENT, family=student.family, student=student)
    secret = tokens.issue(own)
    assert client.get(day_url(secret, sibling)).status_code == 404
    assert client.get(reverse("home:child", args=[secret, student.pk])).status_code == 200


def test_the_plain_form_ticks_rows_with_tempo_and_word(
    client: Client, token: str, student: Student, week: Assignment
) -> None:
    scale, bar3, bar7, _ = items_of(week)
    answer = client.post(
        day_url(token, student),
        {
            "key": uuid.uuid4().hex,
            "done": [f"{bar3.pk} {bar7.pk}"],
            f"minutes-{bar3.pk} {bar7.pk}": "9",
            f"tempo-{bar3.pk}": "66",
            "word": "The low 2 is in.",
        },
    )
    assert answer.status_code == 302
    assert LogEntry.objects.get(item=bar3).tempo == 66
    assert sum(entry.minutes for entry in LogEntry.objects.all()) == 9
    assert not LogEntry.objects.filter(item=scale).exists()
    assert Word.objects.get().text == "The low 2 is in."


def test_sending_the_same_form_twice_counts_once(
    client: Client, token: str, student: Student, week: Assignment
) -> None:
    data = {"key": uuid.uuid4().hex, "word": "Once."}
    client.post(day_url(token, student), data)
    client.post(day_url(token, student), data)
    assert Word.objects.count() == 1


def test_bad_minutes_are_told_and_the_word_stays(
    client: Client, token: str, student: Student, week: Assignment
) -> None:
    scale = items_of(week)[0]
    data = {"key": uuid.uuid4().hex, "done": [f"{scale.pk}"], f"minutes-{scale.pk}": "900"}
    page = client.post(day_url(token, student), data | {"word": "Long evening."})
    assert page.status_code == 422
    text = page.content.decode()
    assert "cannot be 900" in text
    assert "Long evening." in text
    assert not LogEntry.objects.exists()


def test_an_earlier_day_can_be_filled_in_and_a_later_one_not(
    client: Client, token: str, student: Student, week: Assignment
) -> None:
    before, after = DAY - dt.timedelta(days=1), DAY + dt.timedelta(days=1)
    for day, status in ((before, 302), (after, 422)):
        done = [f"{items_of(week, day)[0].pk}"]
        data = {"key": uuid.uuid4().hex, "done": done}
        assert client.post(day_url(token, student, day), data).status_code == status
    assert 'name="done"' not in client.get(day_url(token, student, after)).content.decode()


def test_a_day_of_no_week_opens_the_running_one(
    client: Client, token: str, student: Student, week: Assignment
) -> None:
    """Before the running week lie a week nobody decided and one that was."""
    starts = week.starts - dt.timedelta(days=14)
    factories.PlanFactory.create(assignment__student=student, assignment__starts=starts)
    html = client.get(day_url(token, student, week.starts - dt.timedelta(days=3))).content.decode()
    assert f'data-day="{DAY}"' in html


@pytest.mark.parametrize(
    "body",
    [
        b"",
        b"[]",
        b"{",
        b'{"key": 1}',
        b'{"key": "x", "ticks": []}',
        b'{"ticks": {"a": 1}}',
        json.dumps({"key": "0" * 32, "ticks": [{"item": "x", "done": True}]}).encode(),
        b'{"key": "%s", "ticks": [{"item": 1, "done": true, "ago": NaN}]}' % (b"0" * 32),
    ],
)
def test_a_forged_message_is_refused_in_words(
    client: Client, token: str, student: Student, week: Assignment, body: bytes
) -> None:
    address = reverse("home:send", args=[token, student.pk])
    answer = client.post(address, body, content_type="application/json")
    assert answer.status_code == 422
    assert answer.json()["sentence"]


def test_explore_owes_no_tick(
    client: Client, token: str, student: Student, week: Assignment
) -> None:
    page = client.get(day_url(token, student)).content.decode()
    assert page.count('name="done"') == 2


def test_queries_of_a_day(
    client: Client,
    token: str,
    student: Student,
    week: Assignment,
    django_assert_max_num_queries: Any,
) -> None:
    client.get(day_url(token, student))
    with django_assert_max_num_queries(5):
        client.get(day_url(token, student))
    spot = Spot.objects.get(first_bar=3)
    student.scales.update(bowing_1=f"spot:{spot.pk}", bowing_2="own:1")  # each is asked for
    with django_assert_max_num_queries(7):
        client.get(day_url(token, student))


def test_the_scale_comes_whole_in_its_bowings_and_with_its_arpeggio(
    client: Client, token: str, student: Student, week: Assignment
) -> None:
    spot = Spot.objects.get(first_bar=3)
    spot.excerpt = "[K:G][M:3/4][L:1/8]e2 (cd) (ef)"
    spot.save()
    student.scales.update(bowing_1=f"spot:{spot.pk}", bowing_2="slur2+doubled", fingers="4.4G")
    html = client.get(day_url(token, student)).content.decode()
    assert "/engraved/scale/G-major/major/2.svg?f=4.4G&amp;narrow=1" in html
    assert "<b>The bowing: long, two, two.</b> It is bar 3 of your Minuet in G." in html
    assert "<b>The bowing: two in a bow, twice as fast.</b>" in html
    assert "<b>Arpeggio, three in a bow.</b>" in html
    item = Item.objects.get(date=DAY, part="scale").pk
    for each in (f"{item}", f"{item}-1", f"{item}-2", f"{item}-3"):
        assert f'id="music-{each}"' in html
        assert f'data-plays="music-{each}"' in html


def test_a_spot_is_there_in_a_simpler_key_too(
    client: Client, token: str, student: Student, week: Assignment
) -> None:
    spot = Spot.objects.get(first_bar=3)
    spot.excerpt, spot.easier_key = "[K:G][M:3/4][L:1/8]e2 (cd) (ef)", "C major"
    spot.save()
    html = client.get(day_url(token, student)).content.decode()
    item = Item.objects.get(date=DAY, spot=spot).pk
    assert "<b>First in C major.</b> The same bar, moved to where the fingers lie easier." in html
    assert f'data-plays="music-{item}-easier"' in html
