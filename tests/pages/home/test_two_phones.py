"""Two phones of one family, both without a network, come back one after the other."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import Locator, Page, expect

from practice.models import Assignment, LogEntry, Receipt, Word
from studio.models import Student
from tests.conftest import FrozenClock
from tests.pages.home.weeks import day_url, items_of, logged, lose_the_network

pytestmark = [pytest.mark.usefixtures("frozen"), pytest.mark.django_db(transaction=True)]
MINUTES = 60_000


@pytest.fixture
def two(
    open_page: Callable[..., Page], token: str, student: Student, week: Assignment
) -> list[Page]:
    """Both have opened the day, and then the network is gone."""
    size = {"width": 390, "height": 844}
    phones = [open_page(viewport=size, has_touch=True, service_workers="block") for _ in range(2)]
    for phone in phones:
        phone.clock.install()
        phone.goto(day_url(token, student))
        lose_the_network(phone)
    return phones


def row(phone: Page, number: int) -> Locator:
    return phone.locator(".row").nth(number)


def add_word(phone: Page, word: str) -> None:
    phone.locator("summary", has_text="Add a word").click()
    phone.locator("textarea").fill(word)
    phone.locator("#send").click()


def come_back(phone: Page) -> None:
    phone.context.set_offline(False)
    phone.evaluate("dispatchEvent(new Event('online'))")
    expect(phone.get_by_text("Marisol has it.")).to_be_visible()


@pytest.mark.parametrize("first", [0, 1])
def test_neither_phone_loses_what_it_told(two: list[Page], week: Assignment, first: int) -> None:
    """The first ticks both rows and tells minutes; the second, later, other minutes and a tempo,
    and its page shows neither tick."""
    kitchen, violin_case = two
    for number in (0, 1):
        row(kitchen, number).locator(".peg").click()
    row(kitchen, 0).locator(".more").evaluate("more => { more.open = true; }")
    row(kitchen, 0).locator(".minutes input").fill("7")
    row(kitchen, 0).locator(".minutes input").blur()
    add_word(kitchen, "From the kitchen.")
    for phone in two:
        phone.clock.fast_forward(5 * MINUTES)
    row(violin_case, 0).locator(".minutes input").fill("11")
    row(violin_case, 0).locator(".minutes input").blur()
    row(violin_case, 1).locator(".more").evaluate("more => { more.open = true; }")
    row(violin_case, 1).locator(".tempi label", has_text="66").first.click()
    add_word(violin_case, "From the music room.")
    for phone in (two[first], two[1 - first]):
        come_back(phone)
    scale, bar3, _, _ = items_of(week)
    assert logged()["scale"] == (True, 11, None)
    spots = LogEntry.objects.filter(item__part="spot")
    assert [entry.done for entry in spots] == [True, True]
    assert LogEntry.objects.get(item=bar3).tempo == 66
    words = set(Word.objects.values_list("text", flat=True))
    assert words == {"From the kitchen.", "From the music room."}


@pytest.mark.parametrize("first", [0, 1])
def test_the_later_of_two_ticks_on_one_row_stands(two: list[Page], first: int) -> None:
    row(two[0], 0).locator(".peg").click()
    for phone in two:
        phone.clock.fast_forward(5 * MINUTES)
    row(two[1], 0).locator(".peg").click()
    row(two[1], 0).locator(".peg").click()
    for phone in (two[first], two[1 - first]):
        come_back(phone)
    assert logged()["scale"][0] is False


def test_the_queue_outlives_the_page_in_order_and_arrives_once(
    two: list[Page], token: str, student: Student
) -> None:
    """Each phone closes its page before the network is back, and opens it again."""
    for phone, names in zip(two, ("ABC", "XYZ"), strict=True):
        for name in names:
            add_word(phone, name)
        phone.close()
    for phone in two:
        phone.context.set_offline(False)
        again = phone.context.new_page()
        again.goto(day_url(token, student))
        left = "() => Object.values(localStorage).join().includes('word')"
        while again.evaluate(left):
            again.wait_for_timeout(20)
        expect(again.get_by_text("Marisol has it.")).to_be_visible()
        again.evaluate("dispatchEvent(new Event('online'))")
    kept = list(Word.objects.order_by("written").values_list("text", flat=True))
    # A closing page may get a first message out: the browser gives it its network back.
    assert [word for word in kept if word in "ABC"] == [*"ABC"]
    assert [word for word in kept if word in "XYZ"] == [*"XYZ"]
    assert len(kept) == 6
    assert Receipt.objects.count() == 6


def test_a_tick_made_before_the_script_runs_is_not_lost(
    open_page: Callable[..., Page], token: str, student: Student, week: Assignment
) -> None:
    """On a slow line the form stands before its script has come."""
    page = open_page(viewport={"width": 390, "height": 844}, service_workers="block")
    held: list[Callable[[], None]] = []
    page.route("**/js/home_send.js*", lambda route: held.append(route.continue_))
    page.goto(day_url(token, student), wait_until="commit")
    page.locator(".row .peg").first.click()
    expect(page.get_by_role("checkbox").first).to_be_checked()
    assert LogEntry.objects.count() == 0
    while not held:
        page.wait_for_timeout(20)
    held[0]()
    expect(page.get_by_text("Marisol has it.")).to_be_visible()
    assert logged() == {"scale": (True, 6, None)}


def test_a_refused_message_holds_up_none_behind_it(two: list[Page], week: Assignment) -> None:
    phone = two[0]
    row(phone, 0).locator(".peg").click()
    items_of(week)[0].delete()
    add_word(phone, "Still here.")
    phone.context.set_offline(False)
    phone.evaluate("dispatchEvent(new Event('online'))")
    expect(phone.locator("#net")).to_contain_text("not on this week")
    phone.wait_for_function(
        "() => !Object.values(localStorage).some((each) => each.includes('key'))"
    )
    assert Word.objects.get().text == "Still here."


def test_what_came_while_the_studios_clock_was_set_back_waits_on_the_phone(
    two: list[Page], token: str, student: Student, frozen: FrozenClock
) -> None:
    phone = two[0]
    row(phone, 0).locator(".peg").click()
    add_word(phone, "Still here.")
    frozen.move(days=-3)
    phone.context.set_offline(False)
    phone.evaluate("dispatchEvent(new Event('online'))")
    expect(phone.locator("#net")).to_contain_text("2")
    assert not Receipt.objects.exists()
    frozen.move(days=3)
    come_back(phone)
    assert logged() == {"scale": (True, 6, None)}
    assert Word.objects.get().text == "Still here."
