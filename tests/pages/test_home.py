"""The home page: its link, its plain form, its script, and a network that goes away."""

from __future__ import annotations

import datetime as dt
import json
import re
import uuid
from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from playwright.sync_api import BrowserContext, Page, Route, expect

from practice.models import Assignment, Item, LogEntry, Word
from studio.links import tokens
from studio.models import HomeLink, Student
from tests import factories
from tests.conftest import FrozenClock
from tests.factories import DAY, NOW
from tests.pages.axe import assert_accessible
from tests.practice.home.codes import read_codes

pytestmark = pytest.mark.usefixtures("frozen")


@pytest.fixture
def week(student: Student) -> Assignment:
    """A week that runs: scale and two spots of one piece each day, explore today."""
    starts = DAY - dt.timedelta(days=2)
    plan = factories.PlanFactory.create(assignment__student=student, assignment__starts=starts)
    piece = factories.PieceInHandFactory.create(student=student)
    scale = factories.ScaleInHandFactory.create(student=student)
    spots = [factories.SpotFactory.create(piece=piece, first_bar=bar) for bar in (3, 7)]
    make = factories.ItemFactory.create
    for number in range(5):
        day = {"plan": plan, "date": starts + dt.timedelta(days=number)}
        make(**day, position=0, key="scale:1", part="scale", minutes=6, title="Scale", scale=scale)
        for place, spot in enumerate(spots):
            make(
                **day,
                position=1 + place,
                key=f"spot:{spot.pk}",
                part="spot",
                minutes=3,
                title=f"Spot, {spot.label}",
                piece=piece,
                spot=spot,
            )
        make(**day, position=9, key="explore", part="explore", minutes=2, title="Explore")
    return plan.assignment


@pytest.fixture
def link(student: Student) -> HomeLink:
    return HomeLink(opens=HomeLink.Opens.FAMILY, family=student.family, label="Tomás")


@pytest.fixture
def token(link: HomeLink) -> str:
    return tokens.issue(link)


def day_url(token: str, student: Student, day: dt.date = DAY) -> str:
    return reverse("home:day", args=[token, student.pk, day])


def items_of(week: Assignment, day: dt.date = DAY) -> list[Item]:
    return list(week.plan.items.filter(date=day).order_by("position"))


def logged() -> dict[str, tuple[bool, int, int | None]]:
    rows = LogEntry.objects.select_related("item")
    return {row.item.key.partition(":")[0]: (row.done, row.minutes, row.tempo) for row in rows}


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
    with django_assert_max_num_queries(8):
        client.get(day_url(token, student))


@pytest.fixture
def phone(open_page: Callable[..., Page]) -> Page:
    """Over plain http in the house: no service worker there."""
    size = {"width": 390, "height": 844}
    return open_page(viewport=size, has_touch=True, is_mobile=True, service_workers="block")


@pytest.fixture
def safe_phone(open_page: Callable[..., Page]) -> Page:
    """Where the page is a secure context, as here on this computer or over https."""
    return open_page(viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True)


@pytest.mark.django_db(transaction=True)
def test_one_tap_ticks_and_arrives(
    phone: Page, token: str, student: Student, week: Assignment
) -> None:
    phone.goto(day_url(token, student))
    phone.locator(".row .peg").first.click()
    expect(phone.get_by_text("Marisol has it.")).to_be_visible()
    expect(phone.locator("#done-minutes")).to_have_text("6")
    phone.locator(".tempi label", has_text="66").first.click()
    expect(phone.get_by_text("Marisol has it.")).to_be_visible()
    phone.wait_for_timeout(300)
    assert logged()["scale"] == (True, 6, None)
    assert (False, 3, 66) in logged().values()
    assert_accessible(phone)


@pytest.mark.django_db(transaction=True)
def test_ticks_wait_for_the_network_even_over_a_closed_page(
    phone: Page, token: str, student: Student, week: Assignment
) -> None:
    context: BrowserContext = phone.context
    phone.goto(day_url(token, student))
    context.set_offline(True)
    for peg in phone.locator(".row .peg").all():
        peg.click()
    expect(phone.locator("#net")).to_contain_text("2 ticks wait on this phone")
    context.set_offline(False)
    phone.close()
    again = context.new_page()
    again.goto(day_url(token, student))
    expect(again.locator("#net")).to_be_hidden()
    expect(again.get_by_text("Marisol has it.")).to_be_visible()
    assert len(logged()) == 2  # scale and spots
    assert LogEntry.objects.filter(done=True).count() == 3


@pytest.mark.django_db(transaction=True)
def test_an_opened_page_opens_without_a_network_and_shows_what_waits(
    safe_phone: Page, token: str, student: Student, week: Assignment
) -> None:
    phone = safe_phone
    phone.goto(day_url(token, student))
    phone.wait_for_function(
        """async (path) => !!(await caches.match(new URL(path, location))) &&
            !!navigator.serviceWorker.controller""",
        arg=day_url(token, student),
    )
    phone.wait_for_timeout(500)  # the fonts and pictures follow the page
    phone.context.set_offline(True)
    phone.locator(".row .peg").first.click()
    expect(phone.locator("#net")).to_contain_text("1 tick waits")
    phone.reload()
    expect(phone.get_by_role("heading", level=1)).to_have_text("Imani’s Wednesday")
    expect(phone.get_by_role("checkbox").first).to_be_checked()
    assert phone.evaluate("getComputedStyle(document.querySelector('.row')).listStyleType")
    phone.context.set_offline(False)
    phone.evaluate("dispatchEvent(new Event('online'))")
    expect(phone.get_by_text("Marisol has it.")).to_be_visible()
    assert logged() == {"scale": (True, 6, None)}


@pytest.mark.django_db(transaction=True)
def test_a_shut_link_is_forgotten_by_the_phone(
    safe_phone: Page, token: str, link: HomeLink, student: Student, week: Assignment
) -> None:
    phone = safe_phone
    address = day_url(token, student)
    phone.goto(address)
    kept = "async (path) => !!(await caches.match(new URL(path, location)))"
    phone.wait_for_function(kept, arg=address)
    phone.wait_for_function("() => !!navigator.serviceWorker.controller")
    phone.wait_for_timeout(500)
    tokens.revoke(link, NOW)
    phone.goto(address)
    phone.wait_for_function("async (path) => !(await caches.match(path))", arg=address)


@pytest.mark.django_db(transaction=True)
def test_a_network_cut_mid_send_a_hundred_times_loses_and_doubles_nothing(
    phone: Page, token: str, student: Student, week: Assignment, frozen: FrozenClock
) -> None:
    """Every other answer is thrown away after the server has kept the message."""
    cut = {"left": 100}

    def cuts(route: Route) -> None:
        if cut["left"] and cut["left"] % 2:
            route.fetch()  # the studio hears it, the phone never learns
        if cut["left"]:
            cut["left"] -= 1
            route.abort()
        else:
            route.continue_()

    phone.goto(day_url(token, student))
    phone.route("**/send/", cuts)
    phone.locator("summary", has_text="Add a word").click()
    words = [f"Word {number}" for number in range(5)]
    for word in words:
        if not phone.locator("textarea").is_visible():
            phone.locator("summary", has_text="Add a word").click()
        phone.locator("textarea").fill(word)
        phone.get_by_role("button", name="Send").click()
    while cut["left"]:
        phone.evaluate("dispatchEvent(new Event('online'))")
        phone.wait_for_timeout(5)
    phone.evaluate("dispatchEvent(new Event('online'))")
    expect(phone.get_by_text("Marisol has it.")).to_be_visible()
    kept = list(Word.objects.order_by("written").values_list("text", flat=True))
    assert kept == words


@pytest.mark.django_db(transaction=True)
def test_without_script_the_page_is_a_form(
    open_page: Callable[..., Page], token: str, student: Student, week: Assignment
) -> None:
    page = open_page(java_script_enabled=False, viewport={"width": 390, "height": 844})
    page.goto(day_url(token, student))
    page.locator(".row .peg").first.click()
    page.get_by_role("button", name="Send").click()
    expect(page.get_by_text("Marisol has it.")).to_be_visible()
    assert logged() == {"scale": (True, 6, None)}


def test_the_page_for_grown_ups_has_sheets_calendar_and_siblings(
    client: Client, token: str, student: Student, week: Assignment
) -> None:
    sibling = factories.StudentFactory.create(family=student.family, given_name="Ngozi")
    data = factories.SheetFactory.create(plan=week.plan)
    calendar = HomeLink(opens=HomeLink.Opens.CALENDAR, family=student.family)
    address = reverse("lessons:feed-page", args=[tokens.issue(calendar)])
    page = client.get(reverse("home:week", args=[token, student.pk])).content.decode()
    assert address in page
    assert reverse("home:week", args=[token, sibling.pk]) in page
    assert reverse("home:sheet", args=[token, student.pk, data.plan.assignment_id]) in page


def test_a_link_for_one_of_two_children_shows_no_family_calendar(
    client: Client, student: Student, week: Assignment
) -> None:
    factories.StudentFactory.create(family=student.family, given_name="Ngozi")
    calendar = HomeLink(opens=HomeLink.Opens.CALENDAR, family=student.family)
    tokens.issue(calendar)
    own = HomeLink(opens=HomeLink.Opens.STUDENT, family=student.family, student=student)
    page = client.get(reverse("home:week", args=[tokens.issue(own), student.pk])).content.decode()
    assert "/calendars/" not in page
    assert "Ngozi" not in page


def test_a_sheet_opens_with_the_code_of_the_link_it_is_opened_by(
    client: Client, token: str, student: Student, week: Assignment
) -> None:
    """The paper's own code may be another parent's link."""
    kept = factories.SheetFactory.create(plan=week.plan)
    pdf = client.get(reverse("home:sheet", args=[token, student.pk, week.pk]))
    assert pdf.headers["Content-Type"] == "application/pdf"
    own = reverse("home:child", args=[token, student.pk])
    assert read_codes(pdf.content) == [f"http://testserver{own}"]
    assert kept.data["codes"] == []


def test_no_sheet_of_another_child_opens(
    client: Client, token: str, student: Student, other_student: Student
) -> None:
    theirs = factories.SheetFactory.create(plan__assignment__student=other_student)
    number = theirs.plan.assignment_id
    assert client.get(reverse("home:sheet", args=[token, student.pk, number])).status_code == 404
    address = reverse("home:sheet", args=[token, other_student.pk, number])
    assert client.get(address).status_code == 404
