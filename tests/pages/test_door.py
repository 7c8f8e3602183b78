"""The first pages a teacher sees, in a real browser."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from studio.models import Studio
from tests.pages.axe import assert_accessible

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.contrib.auth.models import User
    from playwright.sync_api import Page

pytestmark = pytest.mark.django_db(transaction=True)


def answer_questions(page: Page, zone: str | None = None) -> None:
    page.get_by_label("Name of the studio").fill("Quill Street Violins")
    page.get_by_label("Your name, as you sign").fill("Châu")
    if zone:
        page.get_by_label("Time zone").fill(zone)
    page.get_by_label("US Letter").check()
    page.get_by_label("4:30 pm").check()
    page.get_by_label("The week starts on").select_option("Sunday")
    page.get_by_label("E-mail").fill("chau@example.org")
    page.get_by_label("Password", exact=True).fill("rosin and two pegs")
    page.get_by_label("The same once more").fill("rosin and two pegs")
    page.get_by_role("button", name="Open the studio").click()


def test_the_first_run_asks_and_opens(
    open_page: Callable[..., Page], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("studio.access.guesses.zone_of_this_computer", lambda: "")
    page = open_page(timezone_id="Australia/Lord_Howe", locale="en-AU")
    page.goto("/settings/")
    expect(page.get_by_role("heading", level=1)).to_have_text("Welcome. Whose studio is this?")
    expect(page.get_by_label("Time zone")).to_have_value("Australia/Lord_Howe")
    answer_questions(page)
    page.goto("/settings/")
    expect(page.locator(".where-name")).to_have_text("Quill Street Violins")
    studio = Studio.objects.get()
    assert (studio.zone, studio.paper) == ("Australia/Lord_Howe", "Letter")
    assert (studio.clock_24h, studio.week_start) == (False, 6)


def test_everything_works_without_scripts_and_with_the_keyboard(
    open_page: Callable[..., Page],
) -> None:
    page = open_page(java_script_enabled=False)
    page.goto("/first-run/")
    page.keyboard.press("Tab")
    expect(page.get_by_text("Go to the page")).to_be_focused()
    page.get_by_role("button", name="Open the studio").press("Enter")
    expect(page.get_by_text("Nothing is saved yet.")).to_be_visible()
    answer_questions(page, zone="America/St_Johns")
    assert Studio.objects.get().zone == "America/St_Johns"


def test_a_wrong_password_moves_the_focus_to_what_went_wrong(page: Page, teacher: User) -> None:
    page.goto("/sign-in/")
    page.get_by_label("E-mail").fill(teacher.username)
    page.get_by_label("Password").fill("not this one")
    page.get_by_label("Password").press("Enter")
    expect(page.get_by_role("alert")).to_be_focused()
    expect(page.get_by_label("E-mail")).to_have_value(teacher.username)
    page.get_by_label("Password").fill("five strings minus one")
    page.get_by_label("Password").press("Enter")
    page.wait_for_url("**/")


@pytest.mark.parametrize("path", ["/sign-in/", "/nothing-here/", "/ticket/used/"])
def test_the_doors_pages_are_accessible(page: Page, teacher: User, path: str) -> None:
    page.goto(path)
    assert_accessible(page)


def test_the_first_run_is_accessible_also_with_errors(page: Page) -> None:
    page.goto("/first-run/")
    assert_accessible(page)
    page.get_by_role("button", name="Open the studio").click()
    expect(page.get_by_text("Nothing is saved yet.")).to_be_visible()
    assert_accessible(page)


@pytest.mark.parametrize("path", ["/settings/", "/settings/password/"])
def test_the_settings_are_accessible(teacher_page: Page, path: str) -> None:
    teacher_page.goto(path)
    assert_accessible(teacher_page)


@pytest.mark.parametrize("width", [320, 390, 820])
def test_nothing_is_wider_than_the_screen(
    open_page: Callable[..., Page], teacher: User, width: int
) -> None:
    page = open_page(viewport={"width": width, "height": 800})
    for path in ("/sign-in/", "/nothing-here/"):
        page.goto(path)
        assert page.evaluate("document.documentElement.scrollWidth") <= width
