"""The printed sheet carries the child's own address, and a reader reads it off the paper."""

from __future__ import annotations

import pytest
from django.test import Client, RequestFactory
from django.urls import reverse
from pytest_django import Settings

from practice.home.sheet_code import sheet_codes
from practice.models import Assignment, Sheet
from studio.lessons import addresses
from studio.links import tokens
from studio.models import HomeLink, Student
from tests import factories
from tests.factories import DAY, NOW
from tests.pages.filled import filled
from tests.practice.home.codes import read_codes

pytestmark = pytest.mark.usefixtures("frozen")


@pytest.fixture
def link(student: Student) -> HomeLink:
    link = HomeLink(opens=HomeLink.Opens.SHEET, family=student.family, student=student)
    tokens.issue(link)
    return link


@pytest.fixture
def week(student: Student) -> Assignment:
    factories.ScaleInHandFactory.create(student=student)
    return factories.AssignmentFactory.create(student=student)


def printed(client: Client, student: Student) -> bytes:
    """The Bench's own print, then the PDF it leads to."""
    page = client.get(reverse("bench", args=[student.pk]))
    fields = filled(page.content, "bench")
    answer = client.post(reverse("bench-print", args=[student.pk]), fields)
    assert answer.status_code == 302
    return client.get(answer.headers["Location"]).content


def test_the_paper_opens_the_childs_page(
    signed_in: Client, student: Student, week: Assignment, link: HomeLink
) -> None:
    pdf = printed(signed_in, student)
    address = f"http://testserver/home/{tokens.shown_again(link)}/{student.pk}/"
    assert read_codes(pdf) == [address]
    assert Client().get(address).status_code == 200
    assert Sheet.objects.get().data["codes"][0]["address"] == address


def test_a_grown_ups_link_is_never_printed(
    signed_in: Client, student: Student, week: Assignment
) -> None:
    for opens, whose in ((HomeLink.Opens.FAMILY, None), (HomeLink.Opens.STUDENT, student)):
        tokens.issue(HomeLink(opens=opens, family=student.family, student=whose))
    assert read_codes(printed(signed_in, student)) == []


def test_an_old_sheet_keeps_its_code(
    signed_in: Client, student: Student, week: Assignment, link: HomeLink
) -> None:
    first = read_codes(printed(signed_in, student))
    signed_in.post(reverse("home:link-renew", args=[link.pk]))
    edition = reverse("sheet-edition", args=[Sheet.objects.get().plan.assignment_id, 1])
    assert read_codes(signed_in.get(edition).content) == first


def test_an_address_no_phone_can_open_is_not_printed(
    rf: RequestFactory, student: Student, link: HomeLink, settings: Settings
) -> None:
    request = rf.get("/", headers={"host": "127.0.0.1:8000"})
    assert sheet_codes(request, student) == ()
    settings.HOUSE_ADDRESS = "http://192.0.2.7:8000"
    (code,) = sheet_codes(request, student)
    assert code.address.startswith("http://192.0.2.7:8000/home/")


def test_the_familys_calendar_has_a_code_beside_it(
    signed_in: Client, student: Student, week: Assignment, link: HomeLink
) -> None:
    calendar = addresses.renew_family(student.family, NOW)
    found = read_codes(printed(signed_in, student))
    page = f"http://testserver/calendars/{tokens.shown_again(calendar)}/"
    assert sorted(found) == sorted(
        [f"http://testserver/home/{tokens.shown_again(link)}/{student.pk}/", page]
    )
    assert Client().get(page).status_code == 200


def test_the_sheet_of_a_child_old_enough_shows_no_calendar_with_the_others_lessons(
    rf: RequestFactory, student: Student, link: HomeLink
) -> None:
    addresses.renew_family(student.family, NOW)
    request = rf.get("/")
    assert len(sheet_codes(request, student)) == 2
    student.birth_date = DAY.replace(year=DAY.year - 13)
    student.save()
    assert len(sheet_codes(request, student)) == 2  # nobody else's lessons are in it
    factories.StudentFactory.create(family=student.family)
    assert [code.caption for code in sheet_codes(request, student)] == ["this week on a phone"]
