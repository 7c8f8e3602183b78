"""The pages about people in a real browser: accessible, usable by keyboard and without script."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from django.test import Client
from playwright.sync_api import Page, expect
from pytest_django.live_server_helper import LiveServer

from studio.models import Student
from tests.factories import (
    EtudeInHandFactory,
    LessonFactory,
    PieceInHandFactory,
    ScaleInHandFactory,
    SlotFactory,
    SpotFactory,
    StudentFactory,
)
from tests.pages.axe import assert_accessible


@pytest.fixture
def known(student: Student) -> Student:
    """Imani with a full page, and her brother who has paused."""
    studio = student.family.studio
    SlotFactory.create(studio=studio, students=[student])
    LessonFactory.create(student=student, date="2099-11-25")
    SpotFactory.create(piece=PieceInHandFactory.create(student=student))
    PieceInHandFactory.create(student=student, stage="finished", finished="2026-11-01")
    ScaleInHandFactory.create(student=student)
    EtudeInHandFactory.create(student=student)
    StudentFactory.create(family=student.family, given_name="Kofi", status="paused")
    studio.size_notes.create(size="1/2", fits="arm of 56 cm and up")
    student.notes = "Thumb creeps up.\nLikes minor keys."
    student.save()
    return student


def without_script(open_page: Callable[..., Page], signed_in: Client, base: str) -> Page:
    page = open_page(viewport={"width": 820, "height": 1180}, java_script_enabled=False)
    cookie = signed_in.cookies["sessionid"].value
    page.context.add_cookies([{"name": "sessionid", "value": cookie, "url": base}])
    return page


@pytest.mark.parametrize("width", [1280, 820])
def test_every_page_about_people_is_accessible(
    teacher_page: Page, known: Student, width: int
) -> None:
    teacher_page.set_viewport_size({"width": width, "height": 800})
    guardian = known.family.guardians.get()
    for url in (
        "/students/",
        "/students/?show=left",
        "/students/?q=nobody",
        "/students/add/",
        "/students/sizes/",
        f"/students/{known.pk}/",
        f"/students/{known.pk}/edit/",
        f"/families/{known.family_id}/",
        f"/families/{known.family_id}/edit/",
        f"/families/{known.family_id}/students/add/",
        f"/families/{known.family_id}/guardians/add/",
        f"/guardians/{guardian.pk}/edit/",
    ):
        response = teacher_page.goto(url)
        assert response is not None
        assert response.status == 200, url
        assert_accessible(teacher_page)
        assert not sideways(teacher_page), url


def sideways(page: Page) -> bool:
    """Whether the page is wider than its window."""
    return bool(page.evaluate("document.documentElement.scrollWidth > window.innerWidth"))


def test_an_empty_studio_and_a_refused_form_are_accessible(teacher_page: Page) -> None:
    teacher_page.goto("/students/")
    assert_accessible(teacher_page)
    teacher_page.goto("/students/add/")
    teacher_page.get_by_label("Monday").fill("999")
    teacher_page.get_by_role("button", name="Add the family").click()
    above = teacher_page.get_by_role("alert")
    expect(above).to_be_focused()
    expect(above).to_contain_text("First name is missing.")
    expect(teacher_page.get_by_label("Monday")).to_have_attribute("aria-invalid", "true")
    assert_accessible(teacher_page)


def test_the_roster_narrows_while_typing_and_keeps_the_cursor(
    teacher_page: Page, known: Student
) -> None:
    StudentFactory.create(family__studio=known.family.studio, given_name="Łucja")
    teacher_page.goto("/students/")
    expect(teacher_page.locator(".roster > li")).to_have_count(2)
    field = teacher_page.get_by_role("searchbox")
    field.press_sequentially("lucja")
    expect(teacher_page.locator(".roster > li")).to_have_count(1)
    expect(field).to_be_focused()
    expect(teacher_page).to_have_url(re.compile(r"q=lucja"))
    field.fill("kofi")
    teacher_page.get_by_role("link", name="1 more among all").click()
    expect(teacher_page.get_by_role("link", name="Kofi")).to_be_visible()


def test_a_family_is_added_by_keyboard_alone(teacher_page: Page) -> None:
    teacher_page.goto("/students/")
    teacher_page.get_by_role("link", name="Add a family").first.focus()
    teacher_page.keyboard.press("Enter")
    teacher_page.get_by_label("First name").focus()
    teacher_page.keyboard.type("Aroha")
    teacher_page.keyboard.press("Tab")
    teacher_page.keyboard.type("Ngata")
    teacher_page.keyboard.press("Enter")
    expect(teacher_page.get_by_role("heading", level=1)).to_contain_text("Aroha Ngata")
    expect(teacher_page.get_by_role("link", name="Give a piece")).to_be_visible()


def test_an_adult_is_not_asked_for_a_guardian(teacher_page: Page) -> None:
    teacher_page.goto("/students/add/")
    guardian = teacher_page.get_by_label("Guardian")
    expect(guardian).to_be_visible()
    teacher_page.get_by_label("An adult").check()
    expect(guardian).to_be_hidden()
    expect(teacher_page.get_by_label("E-mail")).to_be_visible()


def test_search_filter_and_leaving_work_without_script(
    open_page: Callable[..., Page], signed_in: Client, live_server: LiveServer, known: Student
) -> None:
    page = without_script(open_page, signed_in, live_server.url)
    page.goto("/students/")
    page.get_by_role("searchbox").fill("tomas")
    page.get_by_role("radio", name="All 2").check()
    page.get_by_role("button", name="Find").click()
    assert page.locator(".roster > li").count() == 2
    page.get_by_role("link", name="Imani").click()
    page.get_by_text("Imani leaves").click()
    page.get_by_label("Last day").fill("2026-01-01")
    page.get_by_role("button", name="Note the leaving").click()
    assert "1 January 2026 lies before the first day" in page.content()
    page.get_by_label("Last day").fill("2026-02-01")
    page.get_by_role("button", name="Note the leaving").click()
    page.get_by_role("button", name="Welcome back").click()
    assert "comes to lessons again" in page.content()
