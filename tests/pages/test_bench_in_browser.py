"""The Bench in a real browser: by mouse, by keyboard, without script, and read by axe."""

from __future__ import annotations

import datetime as dt
import io
from typing import TYPE_CHECKING

import pypdf
import pytest
from playwright.sync_api import expect

from practice.models import Assignment
from studio.models import Student
from tests.factories import DAY
from tests.pages.axe import assert_accessible
from tests.pages.lesson import after_a_lesson

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.test import Client
    from playwright.sync_api import Page, Route
    from pytest_django.live_server_helper import LiveServer

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.usefixtures("frozen")]
MOST_ACTIONS = 8
COLD_PRESS = 60_000  # ms; the first PDF of a process loads its libraries and fonts


@pytest.fixture
def imani(student: Student) -> Student:
    """With two sessions a day, and a week of the same minutes on every day but Sunday."""
    student.session_1, student.session_2 = "Before school", "After school"
    student.save()
    return after_a_lesson(student)


def open_bench(page: Page, student: Student) -> Page:
    page.goto(f"/students/{student.pk}/bench/")
    return page


def settled(page: Page) -> None:
    """After the week was formed again."""
    page.wait_for_timeout(120)
    page.wait_for_load_state("networkidle")


def printed(page: Page, press: Callable[[], None]) -> pypdf.PdfReader:
    """The sheet that one tap brings. It is caught before the browser's own viewer opens it."""
    caught: list[bytes] = []

    def catch(route: Route) -> None:
        caught.append(route.fetch(timeout=COLD_PRESS).body())
        route.fulfill(status=200, content_type="text/plain", body="printed")

    page.set_default_timeout(COLD_PRESS)
    page.route("**/bench/print/", catch)
    press()
    page.wait_for_url("**/bench/print/")
    page.unroute("**/bench/print/")
    return pypdf.PdfReader(io.BytesIO(caught[0]))


def sums(reader: pypdf.PdfReader) -> list[int]:
    text = reader.pages[0].extract_text()
    foot = text.split("Minutes, all together")[1].split("Favourite")[0]
    return [int(each) for each in foot.split() if each.isdecimal()]


def test_a_week_without_change_is_one_tap(teacher_page: Page, imani: Student) -> None:
    page = open_bench(teacher_page, imani)
    reader = printed(page, page.get_by_role("button", name="Print sheet").click)
    assert sums(reader) == [20, 20, 20, 20, 20, 20]
    assert len(reader.pages) == 2
    assert "The ring" in reader.pages[0].extract_text()


def test_a_usual_week_takes_few_actions(teacher_page: Page, imani: Student) -> None:
    page = open_bench(teacher_page, imani)
    taps: list[Callable[[], object]] = [
        page.get_by_role("button", name="Faster, bar 3").click,
        page.get_by_role("button", name="Faster, bar 5").click,
        page.get_by_label("Solved, bar 7").check,
        page.locator("input[name=scale-bowings]").nth(1).check,
        lambda: page.get_by_label("Minutes on Saturday").fill("35"),
    ]
    for tap in taps:
        tap()
    settled(page)
    expect(page.locator("#week-say")).to_contain_text("135 minutes, Sunday off.")
    reader = printed(page, page.get_by_role("button", name="Print sheet").click)
    assert len(taps) + 1 <= MOST_ACTIONS
    assert sums(reader) == [20, 20, 35, 20, 20, 20]
    back = reader.pages[1].extract_text()
    assert "63" in back
    assert "Tram No. Nine" in back
    assert "elbow leads" not in back.lower()
    assert sum(Assignment.objects.get(starts=DAY + dt.timedelta(days=1)).minutes) == 135


def test_by_keyboard_alone(teacher_page: Page, imani: Student) -> None:
    page = open_bench(teacher_page, imani)
    page.locator("input[name=scale-move][value=keep]").focus()
    page.keyboard.press("m")
    settled(page)
    expect(page.locator(".on-it")).to_contain_text("C major")
    page.keyboard.press("k")
    settled(page)
    expect(page.locator(".on-it")).to_contain_text("G major")
    page.get_by_label("Tempo now in bar 3").focus()
    for key in ("+", "+", "-"):
        page.keyboard.press(key)
    expect(page.get_by_label("Tempo now in bar 3")).to_have_value("63")
    reader = printed(page, lambda: page.keyboard.press("Control+p"))
    assert len(reader.pages) == 2


def test_every_control_is_reached_by_tab(teacher_page: Page, imani: Student) -> None:
    page = open_bench(teacher_page, imani)
    page.evaluate("document.querySelectorAll('details').forEach((each) => { each.open = true })")
    reached = set()
    for _ in range(130):
        page.keyboard.press("Tab")
        name = page.evaluate("document.activeElement.name || document.activeElement.id")
        reached.add(name or "")
        if name == "print":
            break
    names = set(
        page.evaluate(
            "[...document.getElementById('bench').elements]"
            ".filter((each) => each.type !== 'hidden' && each.tagName !== 'FIELDSET'"
            " && each.name && each.offsetParent && !each.disabled).map((each) => each.name)"
        )
    )
    assert names - reached == set()


def test_the_week_forms_again_without_losing_the_caret(teacher_page: Page, imani: Student) -> None:
    page = open_bench(teacher_page, imani)
    field = page.get_by_label("Minutes on Friday")
    field.click()
    page.keyboard.press("End")
    page.keyboard.type("5")
    settled(page)
    expect(field).to_be_focused()
    expect(field).to_have_value("205")
    expect(page.locator("#week-say")).to_contain_text("305 minutes")
    page.keyboard.press("Backspace")
    page.keyboard.press("Backspace")
    settled(page)
    expect(field).to_have_value("2")
    page.get_by_label("This week, listen for…").click()
    page.keyboard.press("Control+Home")
    page.keyboard.type("Listen! ")
    settled(page)
    caret = page.evaluate("document.activeElement.selectionStart")
    assert caret == len("Listen! ")


def test_the_slider_moves_the_week(teacher_page: Page, imani: Student) -> None:
    page = open_bench(teacher_page, imani)
    slider = page.get_by_label("Week", exact=True)
    slider.focus()
    for _ in range(6):
        page.keyboard.press("ArrowRight")
    settled(page)
    expect(slider).to_be_focused()
    expect(slider).to_have_value("126")
    expect(page.get_by_label("Minutes on Thursday")).to_have_value("21")
    expect(page.locator("#week-say")).to_contain_text("126 minutes, Sunday off.")


def test_no_more_than_two_bowings_can_be_ticked(teacher_page: Page, imani: Student) -> None:
    page = open_bench(teacher_page, imani)
    cards = page.locator("input[name=scale-bowings]")
    cards.nth(1).check()
    settled(page)
    expect(cards.nth(2)).to_be_disabled()
    cards.nth(0).uncheck()
    settled(page)
    expect(cards.nth(2)).to_be_enabled()


def test_the_cards_follow_the_key(teacher_page: Page, imani: Student) -> None:
    page = open_bench(teacher_page, imani)
    picture = page.locator("#cards img").first
    before = picture.get_attribute("src")
    page.locator('input[name=scale-move][value="C major"]').check()
    settled(page)
    assert picture.get_attribute("src") != before
    assert "C-major" in (picture.get_attribute("src") or "")
    assert picture.evaluate("(each) => each.complete && each.naturalWidth > 0")


@pytest.mark.parametrize("size", [(1280, 800), (820, 1180), (390, 844)])
def test_axe_finds_nothing(teacher_page: Page, imani: Student, size: tuple[int, int]) -> None:
    page = open_bench(teacher_page, imani)
    page.set_viewport_size({"width": size[0], "height": size[1]})
    assert_accessible(page)
    page.evaluate("document.querySelectorAll('details').forEach((each) => { each.open = true })")
    page.locator("#why").check()
    page.get_by_label("Minutes on Friday").fill("900")
    settled(page)
    assert_accessible(page)


def test_axe_finds_nothing_on_a_refused_page(teacher_page: Page, imani: Student) -> None:
    page = open_bench(teacher_page, imani)
    page.get_by_label("Minutes on Friday").fill("900")
    page.get_by_role("button", name="Save").click()
    expect(page.locator(".errors-above")).to_be_focused()
    assert_accessible(page)


def test_it_works_without_script(
    open_page: Callable[..., Page],
    signed_in: Client,
    live_server: LiveServer,
    imani: Student,
) -> None:
    page = open_page(java_script_enabled=False, viewport={"width": 1280, "height": 800})
    secret = signed_in.cookies["sessionid"].value
    page.context.add_cookies([{"name": "sessionid", "value": secret, "url": live_server.url}])
    open_bench(page, imani)
    page.locator('input[name=scale-move][value="C major"]').check()
    page.get_by_role("button", name="Faster, bar 3").click()
    expect(page.get_by_label("Tempo now in bar 3")).to_have_value("63")
    expect(page.locator(".on-it")).to_contain_text("C major")
    page.get_by_label("Minutes on Friday").fill("30")
    page.get_by_role("button", name="Show the week").click()
    expect(page.locator("#week-say")).to_contain_text("130 minutes, Sunday off.")
    page.get_by_role("button", name="Save").click()
    assert imani.scales.get(until=None).key == "C major"


def test_a_filled_wish_brings_the_next_row(teacher_page: Page, imani: Student) -> None:
    page = open_bench(teacher_page, imani)
    page.get_by_text("Your own wishes").click()
    rows = page.locator(".wish-row:visible")
    expect(rows).to_have_count(4)
    page.locator("[name=forbid-0-part]").select_option("stretch")
    page.locator("[name=free-0-text]").fill("tune by ear")
    page.locator("[name=free-0-minutes]").fill("2")
    expect(rows).to_have_count(6)
    page.locator("[name=forbid-1-part]").select_option("etude")
    page.locator("[name=fix-0-part]").select_option("etude")
    page.locator("[name=fix-0-minutes]").fill("5")
    expect(page.locator("#week-say")).to_contain_text("left it out all week: it stays out.")
    # A wish that is kept never hides behind an empty row.
    page.locator("[name=forbid-0-part]").select_option("")
    expect(page.locator("[name=forbid-1-part]")).to_be_visible()
    assert_accessible(page)


def test_children_who_share_a_violin_see_their_times(teacher_page: Page, imani: Student) -> None:
    imani.family.shares_violin = True
    imani.family.shared_from = dt.time(16)
    imani.family.save()
    page = open_bench(teacher_page, imani)
    expect(page.locator(".week-table .ss td").first).to_have_text("16:00")
    assert_accessible(page)
