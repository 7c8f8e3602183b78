"""The teacher's page of links, a lesson's notes and the page for grown-ups, by eye and by ear."""

from __future__ import annotations

from typing import Any, Literal

import pytest
from django.urls import reverse
from playwright.sync_api import Page, expect

from studio.links import tokens
from studio.models import HomeLink, Student
from tests import factories
from tests.pages.axe import assert_accessible

pytestmark = [
    pytest.mark.usefixtures("frozen"),
    pytest.mark.django_db(transaction=True),
]


def link_of(student: Student) -> HomeLink:
    link = HomeLink(opens=HomeLink.Opens.FAMILY, family=student.family, label="Tomás")
    tokens.issue(link)
    return link


@pytest.mark.parametrize("colours", ["light", "dark"])
def test_pages_are_accessible(
    teacher_page: Page, student: Student, colours: Literal["light", "dark"]
) -> None:
    teacher_page.emulate_media(color_scheme=colours)
    link = link_of(student)
    lesson = factories.LessonFactory.create(student=student)
    plan = factories.PlanFactory.create(assignment__student=student)
    factories.SheetFactory.create(plan=plan)
    for address in (
        reverse("home:links", args=[student.family_id]),
        reverse("desk:notes", args=[lesson.pk]),
        reverse("home:week", args=[tokens.shown_again(link), student.pk]),
    ):
        teacher_page.goto(address)
        assert_accessible(teacher_page)


def test_a_link_is_made_copied_and_shut(teacher_page: Page, student: Student) -> None:
    teacher_page.context.grant_permissions(["clipboard-read", "clipboard-write"])
    teacher_page.goto(reverse("home:links", args=[student.family_id]))
    teacher_page.get_by_label("Who gets it").fill("Tomás")
    teacher_page.get_by_role("button", name="Make the link").click()
    teacher_page.get_by_role("button", name="Copy the address").first.click()
    expect(teacher_page.get_by_text("Copied")).to_be_visible()
    copied = teacher_page.evaluate("navigator.clipboard.readText()")
    assert copied.endswith(f"/home/{tokens.shown_again(HomeLink.objects.get(opens='student'))}/")
    hers = teacher_page.get_by_role("region", name="For grown-ups")
    hers.get_by_text("New address, or shut it").click()
    hers.get_by_role("button", name="Shut this link").click()
    expect(teacher_page.get_by_text("No link yet")).to_be_visible()


def test_queries_do_not_grow_with_the_links(
    signed_in: Any, student: Student, django_assert_num_queries: Any
) -> None:
    address = reverse("home:links", args=[student.family_id])
    link_of(student)
    signed_in.get(address)
    with django_assert_num_queries(10) as first:
        signed_in.get(address)
    for _ in range(5):
        link_of(student)
    with django_assert_num_queries(len(first)):
        signed_in.get(address)
