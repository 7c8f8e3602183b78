"""The page on which a scale book is chosen, in a real browser."""

from __future__ import annotations

from playwright.sync_api import Page

from studio.models import Student
from tests.factories import ScaleInHandFactory
from tests.pages.axe import assert_accessible
from tests.pages.test_people_pages import sideways


def test_the_page_is_accessible_before_and_after_an_error(
    teacher_page: Page, student: Student
) -> None:
    ScaleInHandFactory.create(student=student)
    teacher_page.goto(f"/students/{student.pk}/scale-book/")
    assert_accessible(teacher_page)
    teacher_page.get_by_label("G major").uncheck()
    teacher_page.get_by_role("button", name="Make the book").click()
    assert teacher_page.get_by_text("Keys is missing.").first.is_visible()
    assert_accessible(teacher_page)
    assert not sideways(teacher_page)
