"""The page for grown-ups: sheets, calendar, sisters and brothers."""

from __future__ import annotations

import pytest
from django.test import Client
from django.urls import reverse

from practice.models import Assignment
from studio.links import tokens
from studio.models import HomeLink, Student
from tests import factories
from tests.practice.home.codes import read_codes

pytestmark = pytest.mark.usefixtures("frozen")


def test_the_page_for_grown_ups_has_sheets_calendar_and_siblings(
    client: Client, token: str, student: Student, week: Assignment
) -> None:
    sibling = factories.StudentFactory.create(family=student.family, given_name="Ngozi")
    data = factories.SheetFactory.create(plan=week.plan)
    calendar = HomeLink(opens=HomeLink.Opens.CALENDAR, family=student.family)
    address = reverse("lessons:feed-page", args=[tokens.issue(calendar)])
    page = client.get(reverse("home:week", args=[token, student.pk])).content.decode()
    assert address in page
    assert reverse("home:week", args=[token, sibling.pk]) in page
    assert reverse("home:sheet", args=[token, student.pk, data.plan.assignment_id]) in page


def test_a_link_for_one_of_two_children_shows_no_family_calendar(
    client: Client, student: Student, week: Assignment
) -> None:
    factories.StudentFactory.create(family=student.family, given_name="Ngozi")
    calendar = HomeLink(opens=HomeLink.Opens.CALENDAR, family=student.family)
    tokens.issue(calendar)
    own = HomeLink(opens=HomeLink.Opens.STUDENT, family=student.family, student=student)
    page = client.get(reverse("home:week", args=[tokens.issue(own), student.pk])).content.decode()
    assert "/calendars/" not in page
    assert "Ngozi" not in page


def test_a_sheet_opens_with_the_code_of_the_link_it_is_opened_by(
    client: Client, token: str, student: Student, week: Assignment
) -> None:
    """The paper's own code may be another parent's link."""
    kept = factories.SheetFactory.create(plan=week.plan)
    pdf = client.get(reverse("home:sheet", args=[token, student.pk, week.pk]))
    assert pdf.headers["Content-Type"] == "application/pdf"
    own = reverse("home:child", args=[token, student.pk])
    assert read_codes(pdf.content) == [f"http://testserver{own}"]
    assert kept.data["codes"] == []


def test_no_sheet_of_another_child_opens(
    client: Client, token: str, student: Student, other_student: Student
) -> None:
    theirs = factories.SheetFactory.create(plan__assignment__student=other_student)
    number = theirs.plan.assignment_id
    assert client.get(reverse("home:sheet", args=[token, student.pk, number])).status_code == 404
    address = reverse("home:sheet", args=[token, other_student.pk, number])
    assert client.get(address).status_code == 404
