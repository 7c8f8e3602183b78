"""Bowings in rhythms, fingers, simpler keys: in a real browser, with and without script."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from practice.models import ScaleInHand, Spot
from studio.models import Student
from tests.factories import ScoreFactory
from tests.pages.axe import assert_accessible
from tests.pages.lesson import after_a_lesson

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.test import Client
    from playwright.sync_api import Page
    from pytest_django.live_server_helper import LiveServer

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.usefixtures("frozen")]


@pytest.fixture
def imani(student: Student) -> Student:
    return after_a_lesson(student)


def settled(page: Page) -> None:
    page.wait_for_timeout(150)
    page.wait_for_load_state("networkidle")


def test_a_bowing_twice_as_fast_takes_three_actions(teacher_page: Page, imani: Student) -> None:
    page = teacher_page
    page.goto(f"/students/{imani.pk}/bench/")
    page.get_by_text("rhythms…").click()
    fast = page.get_by_role("checkbox", name="long, two, two, twice as fast")
    fast.check()
    settled(page)
    expect(fast).to_be_checked()
    expect(page.locator(".on-it")).to_have_text(
        "G major: long, two, two + long, two, two, twice as fast"
    )
    assert_accessible(page)
    page.get_by_role("button", name="Save").click()
    expect(page.get_by_text("Saved. Imani’s week is decided.")).to_be_visible()
    scale = ScaleInHand.objects.get(until=None)
    assert scale.bowing_2 == f"{scale.bowing_1}+doubled"
    expect(page.locator("#cards input:checked")).to_have_count(2)


def test_one_note_over_the_top_needs_no_key_chosen_again(
    teacher_page: Page, imani: Student
) -> None:
    page = teacher_page
    page.goto(f"/students/{imani.pk}/bench/")
    page.get_by_text("another key or octaves…").click()
    page.get_by_label("Over the top").select_option("1")
    settled(page)
    page.get_by_label("Why?").check()
    expect(page.locator(".bow-words").first).to_contain_text("bow")
    assert_accessible(page)
    page.get_by_role("button", name="Save").click()
    expect(page.get_by_text("Saved. Imani’s week is decided.")).to_be_visible()
    scale = ScaleInHand.objects.get()
    assert (scale.over_top, scale.until) == (1, None)
    expect(page.locator(".cur").first).to_contain_text("one note over the top")


def test_a_spot_gets_a_second_exercise_on_the_bench(teacher_page: Page, imani: Student) -> None:
    page = teacher_page
    page.goto(f"/students/{imani.pk}/bench/")
    page.locator("summary", has_text="add a spot").first.click()
    page.get_by_label("Second exercise of bar 3").select_option("C major")
    settled(page)
    assert_accessible(page)
    page.get_by_role("button", name="Save").click()
    expect(page.get_by_text("Saved. Imani’s week is decided.")).to_be_visible()
    assert Spot.objects.get(first_bar=3).easier_key == "C major"


def test_fingers_are_written_by_keyboard_and_shown_at_once(
    teacher_page: Page, imani: Student
) -> None:
    page = teacher_page
    page.goto(f"/students/{imani.pk}/scale/fingers/")
    field = page.get_by_label("D 4, going up")
    field.focus()
    page.keyboard.type("4g")
    page.keyboard.press("Tab")
    settled(page)
    picture = page.locator("#fingering-shown img")
    expect(picture).to_have_attribute(
        "src", "/engraved/scale/G-major/major/2.svg?f=4.4G&down=1&staff=7.4&width=109"
    )
    expect(page.get_by_text("Not kept yet.")).to_be_visible()
    page.keyboard.type("5")
    page.keyboard.press("Tab")
    settled(page)
    expect(page.locator("#fingering-shown .error")).to_contain_text("“5” is no finger")
    expect(page.get_by_label("E 4, going up")).to_have_value("5")
    assert_accessible(page)
    page.get_by_label("E 4, going up").fill("")
    page.keyboard.press("Enter")
    expect(page.get_by_text("The fingers of G major are kept.")).to_be_visible()
    assert ScaleInHand.objects.get().fingers == "4.4G"


def test_fingers_without_script(
    open_page: Callable[..., Page], signed_in: Client, live_server: LiveServer, imani: Student
) -> None:
    page = open_page(java_script_enabled=False, viewport={"width": 820, "height": 1180})
    cookie = signed_in.cookies["sessionid"].value
    page.context.add_cookies([{"name": "sessionid", "value": cookie, "url": live_server.url}])
    page.goto(f"/students/{imani.pk}/scale/fingers/")
    page.get_by_label("A 4, going up").fill("4")
    page.get_by_role("button", name="Show it").click()
    expect(page.locator("#fingering-shown img")).to_have_attribute(
        "src", "/engraved/scale/G-major/major/2.svg?f=8.4&down=1&staff=7.4&width=109"
    )
    page.get_by_label("avoided").check()
    page.get_by_role("button", name="Save the fingers").click()
    expect(page.get_by_text("The fingers of G major are kept.")).to_be_visible()
    scale = ScaleInHand.objects.get()
    assert (scale.fingers, scale.open_strings) == ("8.4", "avoid")
    page.get_by_label("A 4, going up").fill("9")
    page.get_by_role("button", name="Save the fingers").click()
    expect(page.get_by_label("A 4, going up")).to_have_value("9")
    expect(page.get_by_role("alert")).to_contain_text("“9” is no finger")


def test_a_simpler_key_is_heard_of_and_shown_while_it_is_chosen(
    teacher_page: Page, imani: Student
) -> None:
    spot = Spot.objects.get(first_bar=3)
    page = teacher_page
    page.goto(f"/spots/{spot.pk}/edit/")
    expect(page.locator("#excerpt img")).to_have_count(1)
    page.locator("#id_easier_key").select_option("C major")
    expect(page.locator("#excerpt img")).to_have_count(2)
    assert_accessible(page)
    page.get_by_role("button", name="Save").click()
    expect(page.get_by_text("bar 3: saved.")).to_be_visible()
    spot.refresh_from_db()
    assert spot.easier_key == "C major"


def test_on_the_score_the_simpler_key_is_chosen_with_the_bar(
    teacher_page: Page, imani: Student
) -> None:
    piece = imani.pieces.first()
    assert piece is not None
    score = ScoreFactory.create(studio=imani.family.studio, work=piece.work)
    page = teacher_page
    page.goto(f"/scores/{score.pk}/?bar=6&piece={piece.pk}")
    page.get_by_text("Also in a simpler key").click()
    page.get_by_label("the same in C major").check()
    page.get_by_label("What to do there").fill("low second finger")
    assert_accessible(page)
    page.get_by_role("button", name="Make it a spot").click()
    expect(page.get_by_text("a spot now.")).to_be_visible()
    assert piece.spots.get(what="low second finger").easier_key == "C major"
