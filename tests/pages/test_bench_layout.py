"""How the Bench lies on a laptop, a tablet and a phone: it fits, and nothing lies over another."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from practice.models import Spot, Work
from tests.pages.lesson import after_a_lesson
from tests.pages.test_bench_in_browser import open_bench

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from studio.models import Student

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.usefixtures("frozen")]


@pytest.fixture
def imani(student: Student) -> Student:
    student.session_1, student.session_2 = "Before school", "After school"
    student.save()
    return after_a_lesson(student)


def test_a_usual_student_fits_one_screen(teacher_page: Page, imani: Student) -> None:
    long = "elbow leads to the D string, early and without a jerk"
    Spot.objects.filter(piece__student=imani).update(what=long)
    page = open_bench(teacher_page, imani)
    assert page.evaluate("document.documentElement.scrollHeight") <= 800
    assert page.evaluate("document.documentElement.scrollWidth") <= 1280


LAPPED = """() => {
  const seen = [...document.querySelectorAll(".row > :is(legend, .cur, .seg-row, details)")];
  const boxes = seen.map((each) => each.getBoundingClientRect());
  const meet = (a, b) => a.left < b.right - 1 && b.left < a.right - 1
    && a.top < b.bottom - 1 && b.top < a.bottom - 1;
  return boxes.flatMap((a, at) => boxes.slice(at + 1).filter((b) => meet(a, b))).length;
}"""


WORDS_LAPPED = LAPPED.replace(
    ".row > :is(legend, .cur, .seg-row, details)",
    ".row > :is(.cur, .seg-row), .row > details > summary",
)


@pytest.mark.parametrize("opened", ["", "another key", "rhythms", "add a spot"])
@pytest.mark.parametrize("width", [1280, 820])
def test_long_names_leave_room_for_what_is_pressed(
    teacher_page: Page, imani: Student, width: int, opened: str
) -> None:
    works = Work.objects.filter(in_hand__student=imani)
    works.update(title="Concerto for Two Violins, 1st movement", composer="Johann Sebastian Bach")
    page = open_bench(teacher_page, imani)
    page.set_viewport_size({"width": width, "height": 800})
    if opened:
        page.locator("summary", has_text=opened).first.click()
    assert page.evaluate(WORDS_LAPPED) == 0
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    top = "(each) => each.getBoundingClientRect().top"
    summaries = [page.locator("summary", has_text=each) for each in ("another key", "stands")]
    tops = [each.first.evaluate(top) for each in summaries]
    assert abs(tops[0] - tops[1]) < 4
    check = [page.locator(f".row.check > {each}").first for each in ("input", "details")]
    assert check[1].evaluate(top) < check[0].evaluate("(e) => e.getBoundingClientRect().bottom")


@pytest.mark.parametrize("width", [640, 390])  # 640: a laptop's window at 200 % zoom
def test_narrow_rows_stand_below_one_another(
    teacher_page: Page, imani: Student, width: int
) -> None:
    page = open_bench(teacher_page, imani)
    page.set_viewport_size({"width": width, "height": 844})
    assert page.locator(".stands").count() > 0
    assert page.evaluate(LAPPED) == 0
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
