"""A score in a real browser: tapped by finger and by key, with and without script."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from django.test import Client
from playwright.sync_api import Page, expect
from pytest_django.live_server_helper import LiveServer

from practice.models import Score, Spot
from studio.models import Student
from tests.factories import EtudeWorkFactory, PieceInHandFactory, ScoreFactory
from tests.pages.axe import assert_accessible
from tests.pages.test_people_pages import sideways, without_script


@pytest.fixture
def score(student: Student) -> Score:
    piece = PieceInHandFactory.create(student=student)
    EtudeWorkFactory.create(techniques=["shifting"])
    return ScoreFactory.create(studio=student.family.studio, work=piece.work)


@pytest.mark.parametrize("width", [1280, 820, 500])
def test_the_pages_are_accessible(teacher_page: Page, score: Score, width: int) -> None:
    teacher_page.set_viewport_size({"width": width, "height": 800})
    for url in (
        f"/repertoire/{score.work_id}/score/",
        f"/scores/{score.pk}/",
        f"/scores/{score.pk}/?bar=2&bar=4&tempo=100",
        f"/scores/{score.pk}/?bar=99",
    ):
        teacher_page.goto(url)
        assert_accessible(teacher_page)
        assert not sideways(teacher_page), url


def test_a_bar_is_tapped_on_the_picture_and_becomes_a_spot(
    teacher_page: Page, score: Score
) -> None:
    page = teacher_page
    page.goto(f"/scores/{score.pk}/")
    bar = page.get_by_role("checkbox", name=re.compile(r"Bar 1\b"))
    box, leaf = bar.bounding_box(), page.locator(".leaf img").bounding_box()
    assert box is not None
    assert leaf is not None
    assert leaf["y"] <= box["y"] < box["y"] + box["height"] <= leaf["y"] + leaf["height"] + 1
    assert min(box["width"], box["height"]) > 44
    page.mouse.click(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    expect(page.get_by_role("heading", name="Bar 1", exact=True)).to_be_visible()
    page.get_by_role("checkbox", name=re.compile(r"Bar 2\b")).press("Space")
    expect(page.get_by_role("heading", name="Bars 1 to 2")).to_be_visible()
    page.get_by_label("What to do there").fill("Little bows")
    page.get_by_role("button", name="Make it a spot").click()
    expect(page.get_by_text("bars 1 to 2: a spot now.")).to_be_visible()
    expect(page.locator(".spots img")).to_be_visible()


def test_bars_are_taken_without_script(
    open_page: Callable[..., Page], signed_in: Client, live_server: LiveServer, score: Score
) -> None:
    page = without_script(open_page, signed_in, live_server.url)
    page.goto(f"/scores/{score.pk}/")
    page.get_by_role("checkbox", name=re.compile(r"Bar 4\b")).check()
    page.get_by_role("button", name="Take the ticked bars").click()
    page.get_by_label("What to do there").fill("C sharp")
    page.get_by_role("button", name="Make it a spot").click()
    assert Spot.objects.get().first_bar == 4


@pytest.fixture
def long_score(student: Student) -> Score:
    abc = "X:1\nM:4/4\nL:1/8\nK:D\n" + "ABcd efga|" * 120 + "\n"
    piece = PieceInHandFactory.create(student=student)
    return ScoreFactory.create(
        studio=student.family.studio, work=piece.work, data=abc.encode(), digest="l", bars=120
    )


def test_further_pages_come_when_they_come_into_sight(
    teacher_page: Page, long_score: Score
) -> None:
    teacher_page.goto(f"/scores/{long_score.pk}/")
    last = teacher_page.get_by_role("checkbox", name="Bar 120")
    assert teacher_page.locator(".leaf.waiting").count() >= 1
    assert last.count() == 0
    teacher_page.locator(".leaf").last.scroll_into_view_if_needed()
    last.press("Space")
    expect(teacher_page.get_by_role("heading", name="Bar 120", exact=True)).to_be_visible()
    assert_accessible(teacher_page)


def test_further_pages_are_links_without_script(
    open_page: Callable[..., Page], signed_in: Client, live_server: LiveServer, long_score: Score
) -> None:
    page = without_script(open_page, signed_in, live_server.url)
    page.goto(f"/scores/{long_score.pk}/")
    page.get_by_role("link", name=re.compile("Page 2: bar ")).click()
    assert page.locator(".leaf img").count() == 1
    assert page.get_by_role("checkbox", name="Bar 1", exact=True).count() == 0
