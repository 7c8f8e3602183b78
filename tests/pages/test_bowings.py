"""A bowing tapped together in a real browser, and without script."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from django.test import Client
from playwright.sync_api import Page, expect
from pytest_django.live_server_helper import LiveServer

from practice.models import Bowing
from studio.models import Studio
from tests.pages.axe import assert_accessible
from tests.pages.test_people_pages import sideways, without_script


@pytest.mark.parametrize("width", [1280, 820])
def test_the_pages_are_accessible(teacher_page: Page, studio: Studio, width: int) -> None:
    own = Bowing.objects.create(studio=studio, name="rocking", pattern={"code": "2/4 (8 8) 4"})
    teacher_page.set_viewport_size({"width": width, "height": 800})
    for url in ("/bowings/", "/bowings/make/", f"/bowings/{own.pk}/edit/"):
        teacher_page.goto(url)
        assert_accessible(teacher_page)
        assert not sideways(teacher_page), url


def test_each_tap_is_engraved_at_once(teacher_page: Page) -> None:
    page = teacher_page
    page.goto("/bowings/make/")
    page.get_by_role("button", name="eighth", exact=True).click()
    expect(page.locator(".maker img")).to_be_visible()
    page.get_by_role("button", name="eighth", exact=True).click()
    expect(page.locator(".tapped li")).to_have_count(2)
    page.locator("[name=n0-slurred]").check()
    expect(page.locator(".maker img")).to_have_attribute("src", re.compile(r"\(8_8\)"))
    page.get_by_label("Name").fill("little waves")
    page.get_by_role("button", name="Keep it").click()
    expect(page.get_by_text("“little waves” is kept.")).to_be_visible()


def test_a_bowing_is_made_without_script(
    open_page: Callable[..., Page], signed_in: Client, live_server: LiveServer
) -> None:
    page = without_script(open_page, signed_in, live_server.url)
    page.goto("/bowings/make/")
    page.get_by_role("button", name="quarter", exact=True).click()
    page.get_by_role("button", name="eighth", exact=True).click()
    page.get_by_role("button", name="Keep it").click()
    assert Bowing.objects.get().pattern["code"] == "2/4 4 8"
