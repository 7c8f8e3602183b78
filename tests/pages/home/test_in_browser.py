"""The home page in a browser: its script, and a network that goes away."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import BrowserContext, Page, Route, expect

from practice.models import Assignment, Item, LogEntry, Receipt, Word
from studio.links import tokens
from studio.models import HomeLink, Student
from tests.factories import DAY, NOW
from tests.pages.axe import assert_accessible
from tests.pages.home.weeks import day_url, kept_then_cut_off, logged

pytestmark = pytest.mark.usefixtures("frozen")


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
def test_a_word_that_is_only_typed_is_not_said_to_have_arrived(
    phone: Page, token: str, student: Student, week: Assignment
) -> None:
    phone.goto(day_url(token, student))
    phone.locator(".row .peg").first.click()
    expect(phone.get_by_text("Marisol has it.")).to_be_visible()
    phone.locator("summary", has_text="Add a word").click()
    phone.locator("textarea").fill("She sang it.")
    expect(phone.get_by_text("Marisol has it.")).to_be_hidden()
    phone.locator("#send").click()
    expect(phone.get_by_text("Marisol has it.")).to_be_visible()
    assert Word.objects.get().text == "She sang it."


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
    kept_then_cut_off(phone, day_url(token, student))
    phone.locator(".row .peg").first.click()
    expect(phone.locator("#net")).to_contain_text("1 tick waits")
    phone.reload()
    expect(phone.get_by_role("heading", level=1)).to_have_text("Imani’s Wednesday")
    expect(phone.get_by_role("checkbox").first).to_be_checked()
    assert phone.evaluate("getComputedStyle(document.querySelector('.row')).listStyleType")
    phone.context.set_offline(False)
    for _ in range(3):
        phone.evaluate("dispatchEvent(new Event('online'))")
    expect(phone.get_by_text("Marisol has it.")).to_be_visible()
    assert logged() == {"scale": (True, 6, None)}
    phone.reload()
    assert Receipt.objects.count() == 1


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
    phone: Page, token: str, student: Student, week: Assignment
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
    for _ in range(3000):
        if not cut["left"]:
            break
        phone.evaluate("dispatchEvent(new Event('online'))")
        phone.wait_for_timeout(5)
    assert not cut["left"], "the phone gave up"
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


@pytest.mark.django_db(transaction=True)
def test_a_finished_session_folds_to_one_line_and_opens_again(
    phone: Page, token: str, student: Student, week: Assignment
) -> None:
    """The evening's explore owes no tick, so that session stays open."""
    student.session_2 = "Evening"
    student.save()
    Item.objects.filter(date=DAY, part__in=("spot", "explore")).update(session=2)
    phone.goto(day_url(token, student))
    sessions = phone.locator("details.session")
    sessions.nth(0).locator(".peg").click()
    expect(sessions.nth(0)).not_to_have_attribute("open", "")
    expect(sessions.nth(0).get_by_role("heading")).to_contain_text("6 min done")
    expect(sessions.nth(1).locator(".now .more")).to_have_attribute("open", "")
    sessions.nth(1).locator(".peg").click()
    expect(sessions.nth(1)).to_have_attribute("open", "")
    expect(phone.get_by_text("Marisol has it.")).to_be_visible()
    assert_accessible(phone)
    sessions.nth(0).locator("summary").first.click()
    sessions.nth(0).locator(".peg").click()
    expect(sessions.nth(0).get_by_role("heading")).not_to_contain_text("done", use_inner_text=True)
    phone.reload()
    for number in range(2):
        expect(sessions.nth(number)).to_have_attribute("open", "")
