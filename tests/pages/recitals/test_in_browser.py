"""Keyboard and focus, with and without JavaScript; axe on every page."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client
from playwright.sync_api import Page, expect

from practice.models import Programme
from tests.pages.axe import assert_accessible
from tests.pages.recitals.steps import address, order, piece_of

pytestmark = pytest.mark.usefixtures("frozen")


@pytest.mark.django_db(transaction=True)
def test_moved_by_keyboard_the_button_keeps_the_focus(
    teacher_page: Page, programme: Programme
) -> None:
    page = teacher_page
    page.goto(address("recital", programme.recital_id))
    button = page.get_by_role("button", name="Earlier: Aroha, Gavotte")
    button.focus()
    page.keyboard.press("Enter")
    expect(page.locator(".piece .who").nth(1)).to_contain_text("Aroha")
    expect(button).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.locator(".piece .who").nth(0)).to_contain_text("Aroha")
    expect(page.get_by_role("button", name="Later: Aroha, Gavotte")).to_be_focused()
    assert order(programme) == ["Aroha", "Imani", "Zola"]


@pytest.mark.django_db(transaction=True)
def test_without_javascript_the_same_keys_do_the_same(
    open_page: Any, signed_in: Client, live_server: Any, programme: Programme
) -> None:
    page = open_page(java_script_enabled=False, viewport={"width": 820, "height": 1180})
    secret = signed_in.cookies["sessionid"].value
    page.context.add_cookies([{"name": "sessionid", "value": secret, "url": live_server.url}])
    page.goto(address("recital", programme.recital_id))
    page.get_by_role("button", name="Earlier: Aroha, Gavotte").press("Enter")
    page.wait_for_url("**way=earlier")
    assert order(programme) == ["Imani", "Aroha", "Zola"]
    expect(page.get_by_role("button", name="Earlier: Aroha, Gavotte")).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.locator(".piece .who").nth(0)).to_contain_text("Aroha")


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize(
    "name", ["recitals", "add", "recital", "change", "choose", "lengths", "thanks", "piece"]
)
def test_axe_finds_nothing(teacher_page: Page, programme: Programme, name: str) -> None:
    pk = programme.recital_id
    args = {"recitals": (), "add": (), "piece": (pk, piece_of("Imani").pk)}.get(name, (pk,))
    if name == "recital":
        Programme.objects.update(interval_after=1, moved_by_hand=True)
    teacher_page.goto(address(name, *args))
    for closed in teacher_page.locator("details:not([open]) > summary").all()[:2]:
        closed.click()
    assert_accessible(teacher_page)


@pytest.mark.django_db(transaction=True)
def test_axe_finds_nothing_where_a_form_came_back_or_a_draft_asks(
    teacher_page: Page, programme: Programme
) -> None:
    pk = programme.recital_id
    teacher_page.goto(address("lengths", pk))
    teacher_page.get_by_label("Length of Imani, Minuet in G").fill("soon")
    teacher_page.get_by_role("button", name="Keep").click()
    expect(teacher_page.get_by_role("alert")).to_contain_text("“soon” is no length")
    assert_accessible(teacher_page)
    Programme.objects.update(moved_by_hand=True)
    teacher_page.goto(address("recital", pk))
    teacher_page.get_by_role("button", name="Draft again").click()
    expect(teacher_page.get_by_role("heading", level=1)).to_have_text("Draft the order again?")
    assert_accessible(teacher_page)
