"""The page on which a scale book is chosen, in a real browser."""

from __future__ import annotations

from playwright.sync_api import Page

from studio.models import Student
from tests.factories import PieceInHandFactory, ScaleInHandFactory, SpotFactory
from tests.pages.axe import assert_accessible
from tests.pages.test_people_pages import sideways


def test_the_page_is_accessible_before_and_after_an_error(
    teacher_page: Page, student: Student
) -> None:
    ScaleInHandFactory.create(student=student)
    teacher_page.goto(f"/students/{student.pk}/scale-book/")
    assert_accessible(teacher_page)
    teacher_page.get_by_label("G major", exact=True).uncheck()
    teacher_page.get_by_role("button", name="Make the book").click()
    assert teacher_page.get_by_text("Keys is missing.").first.is_visible()
    assert_accessible(teacher_page)
    assert not sideways(teacher_page)


def test_the_studios_page_is_chosen_by_keyboard(teacher_page: Page, student: Student) -> None:
    piece = PieceInHandFactory.create(student=student)
    SpotFactory.create(piece=piece, excerpt="M:3/4\nL:1/8\nK:G\nd2 (GA) (Bc)|")
    page = teacher_page
    page.goto("/repertoire/")
    page.get_by_role("link", name="Scale book").click()
    for width in (1280, 820, 500):
        page.set_viewport_size({"width": width, "height": 900})
        assert_accessible(page)
        assert not sideways(page)
    page.get_by_role("checkbox", name="B♭ minor").press("Space")
    page.get_by_role("checkbox", name="long, two, two").press("Space")
    page.get_by_role("checkbox", name="All thirty keys").press("Space")
    assert page.get_by_role("checkbox", name="B♭ minor").is_checked()
    assert page.get_by_role("checkbox", name="long, two, two").is_checked()
