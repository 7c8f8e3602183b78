"""The pages about repertoire in a real browser: accessible, and a lesson's worth of changes."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from django.test import Client
from playwright.sync_api import Page, expect
from pytest_django.live_server_helper import LiveServer

from practice.models import PieceInHand, Work
from practice.repertoire.catalogue import load_catalogue
from studio.models import Student
from tests.factories import (
    EtudeInHandFactory,
    FavouriteFactory,
    IdeaFactory,
    PieceInHandFactory,
    ScaleInHandFactory,
    SpotFactory,
    WorkFactory,
)
from tests.pages.axe import assert_accessible
from tests.pages.test_people_pages import sideways, without_script


@pytest.fixture
def piece(student: Student) -> PieceInHand:
    """A page with everything on it."""
    load_catalogue()
    minuet = Work.objects.get(catalogue_key="petzold-minuet-in-g-bwv-anh-114")
    piece = PieceInHandFactory.create(student=student, work=minuet)
    SpotFactory.create(piece=piece, excerpt="K:G\n[M:3/4] d2 GA Bc", state="firming")
    SpotFactory.create(piece=piece, first_bar=7, last_bar=8, hardness=2)
    SpotFactory.create(piece=piece, first_bar=12, state="solved", solved="2026-11-20")
    PieceInHandFactory.create(student=student, stage="finished", finished="2026-11-01")
    ScaleInHandFactory.create(student=student)
    ScaleInHandFactory.create(student=student, since="2026-10-01", until="2026-11-11")
    etude = Work.objects.get(catalogue_key="wohlfahrt-60-studies-op-45-no-2")
    EtudeInHandFactory.create(student=student, work=etude)
    FavouriteFactory.create(student=student)
    return piece


@pytest.mark.parametrize("width", [1280, 820])
def test_every_page_about_repertoire_is_accessible(
    teacher_page: Page, piece: PieceInHand, width: int
) -> None:
    teacher_page.set_viewport_size({"width": width, "height": 800})
    studio = piece.student.family.studio
    own = WorkFactory.create(studio=studio, title="Tram No. Nine", catalogue_key="")
    idea = IdeaFactory.create(studio=studio)
    student = f"/students/{piece.student_id}"
    for url in (
        "/repertoire/",
        "/repertoire/?q=nothing+like+it",
        "/repertoire/add/",
        f"/repertoire/{piece.work_id}/",
        f"/repertoire/{own.pk}/edit/",
        "/repertoire/ideas/",
        "/repertoire/ideas/add/",
        f"/repertoire/ideas/{idea.pk}/edit/",
        f"{student}/repertoire/",
        f"{student}/pieces/give/",
        f"{student}/pieces/give/new/",
        f"{student}/etude/",
        f"{student}/etude/new/",
        f"{student}/scale/",
        f"{student}/scale/fingers/",
        f"{student}/favourites/add/",
        f"/pieces/{piece.pk}/edit/",
        f"/pieces/{piece.pk}/spots/add/",
        f"/spots/{piece.spots.earliest('pk').pk}/edit/",
    ):
        response = teacher_page.goto(url)
        assert response is not None
        assert response.status == 200, url
        assert_accessible(teacher_page)
        assert not sideways(teacher_page), url


def test_empty_pages_are_accessible(teacher_page: Page, student: Student) -> None:
    for url in ("/repertoire/", "/repertoire/ideas/", f"/students/{student.pk}/repertoire/"):
        teacher_page.goto(url)
        assert_accessible(teacher_page)


def test_a_lesson_of_changes(teacher_page: Page, student: Student) -> None:
    load_catalogue()
    page = teacher_page
    page.goto(f"/students/{student.pk}/repertoire/")
    page.get_by_role("link", name="Give a piece").click()
    page.get_by_role("searchbox").press_sequentially("petzold")
    page.get_by_role("button", name="Give Minuet in G, BWV").click()
    expect(page.get_by_text("Minuet in G, BWV Anh. 114 is in hand now.")).to_be_visible()
    page.get_by_role("link", name="Add a spot").click()
    page.get_by_label("Bar", exact=True).fill("3")
    page.get_by_label("What to do there").fill("C is a low 2")
    page.get_by_label("The bars in ABC").press_sequentially("[M:3/4] d2 GA Bc")
    expect(page.locator("#excerpt img")).to_have_attribute("alt", re.compile("D, G, A, B, C"))
    page.get_by_role("button", name="Add the spot").click()
    expect(page.locator(".spots img")).to_be_visible()
    page.get_by_role("group", name="State of bar 3").get_by_role(
        "button", name="firm", exact=True
    ).click()
    expect(page.get_by_role("button", name="firm", exact=True)).to_have_attribute(
        "aria-pressed", "true"
    )
    page.get_by_text("Finish, or set aside").click()
    page.get_by_label("and a favourite now").check()
    page.get_by_role("button", name="Finished", exact=True).click()
    expect(page.locator("#favourites")).to_contain_text("Minuet in G")
    expect(page.get_by_role("button", name="Take back into hand")).to_be_visible()


def test_a_scale_is_seen_before_it_is_saved(teacher_page: Page, student: Student) -> None:
    teacher_page.goto(f"/students/{student.pk}/scale/")
    teacher_page.get_by_label("Key").select_option("B flat major")
    picture = teacher_page.locator("#scale-picture img")
    expect(picture).to_have_attribute("alt", re.compile("^B flat major, one octave"))
    expect(teacher_page.get_by_text("A minor key as")).to_be_hidden()
    teacher_page.get_by_label("Key").select_option("G minor")
    expect(picture).to_have_attribute("alt", re.compile("^G melodic minor"))
    expect(teacher_page.get_by_text("A minor key as")).to_be_visible()
    drawn = "async image => { await image.decode(); return image.naturalWidth; }"
    assert picture.evaluate(drawn) > 100
    teacher_page.get_by_role("button", name="Save the scale").click()
    expect(teacher_page.locator("#scale")).to_contain_text("G minor melodic, 1 octave")


def test_words_typed_for_an_etude_survive_the_search(
    teacher_page: Page, piece: PieceInHand
) -> None:
    teacher_page.goto(f"/students/{piece.student_id}/etude/")
    teacher_page.get_by_label("Which lines").fill("the whole")
    teacher_page.get_by_role("searchbox").press_sequentially("kreutzer")
    teacher_page.get_by_role("button", name="Take 42 Studies, no. 2", exact=True).click()
    expect(teacher_page.locator("#etude")).to_contain_text("42 Studies, no. 2")
    expect(teacher_page.locator("#etude")).to_contain_text("the whole")


def test_giving_moving_on_and_refusing_work_without_script(
    open_page: Callable[..., Page],
    signed_in: Client,
    live_server: LiveServer,
    piece: PieceInHand,
) -> None:
    page = without_script(open_page, signed_in, live_server.url)
    page.goto(f"/students/{piece.student_id}/pieces/give/")
    page.get_by_role("searchbox").fill("dvorak humoresque")
    page.get_by_role("button", name="Find").click()
    page.get_by_role("button", name="Give Humoresque").click()
    assert "is in hand now" in page.content()
    page.get_by_role("button", name="Take back into hand").click()
    assert "already has two pieces in hand" in page.content()
    page.get_by_role("group", name="Stage of Humoresque").get_by_text("polishing").click()
    assert "Humoresque, op. 101 no. 7: polishing." in page.content()
