"""The teacher's page of private links: which fits, who gets the letter, and who may shut them."""

from __future__ import annotations

import datetime as dt
from urllib.parse import parse_qs, unquote, urlsplit

import pytest
from django.test import Client, RequestFactory
from django.urls import reverse

from practice.home import links
from practice.models import Assignment
from studio.links import tokens
from studio.models import Family, HomeLink, Student
from tests import factories
from tests.conftest import FrozenClock
from tests.factories import DAY, NOW
from tests.practice.home.codes import read_codes

pytestmark = pytest.mark.usefixtures("frozen")


def made(family: Family, student: Student | None = None, label: str = "") -> HomeLink:
    opens = HomeLink.Opens.STUDENT if student else HomeLink.Opens.FAMILY
    link = HomeLink(family=family, student=student, opens=opens, label=label)
    tokens.issue(link)
    return link


def test_making_a_link_shows_an_address_that_opens(
    signed_in: Client, family: Family, student: Student
) -> None:
    make = reverse("home:link-make", args=[family.pk])
    answer = signed_in.post(make, {"label": "Tomás", "opens": str(student.pk)})
    assert answer.status_code == 302
    link = HomeLink.objects.get()
    assert (link.label, link.student, link.expires) == ("Tomás", student, None)
    page = signed_in.get(reverse("home:links", args=[family.pk])).content.decode()
    token = tokens.shown_again(link)
    assert f"http://testserver/home/{token}/" in page
    assert Client().get(f"/home/{token}/").status_code == 200


def test_a_last_day_ends_at_the_studios_midnight(
    signed_in: Client, family: Family, student: Student, frozen: FrozenClock
) -> None:
    make = reverse("home:link-make", args=[family.pk])
    signed_in.post(make, {"opens": str(student.pk), "last_day": "2026-11-30"})
    link = HomeLink.objects.get()
    assert link.expires == dt.datetime(2026, 12, 1, tzinfo=dt.UTC)  # Lisbon, winter
    address = f"/home/{tokens.shown_again(link)}/"
    frozen.set(dt.datetime(2026, 11, 30, 23, 59, tzinfo=dt.UTC))
    assert Client().get(address).status_code == 200
    frozen.set(dt.datetime(2026, 12, 1, tzinfo=dt.UTC))
    assert Client().get(address).status_code == 404


@pytest.mark.parametrize(
    ("data", "sentence"),
    [
        ({"last_day": "2026-11-24"}, "24.11.2026 is over."),
        ({"last_day": "soon"}, "“soon” is not a day."),
        ({"opens": "987654"}, "Select a valid choice"),
        ({"label": "a" * 81}, "81 characters are too many"),
    ],
)
def test_bad_input_is_told_and_makes_nothing(
    signed_in: Client, family: Family, student: Student, data: dict[str, str], sentence: str
) -> None:
    posted = {"opens": str(student.pk), "label": "Tomás"} | data
    page = signed_in.post(reverse("home:link-make", args=[family.pk]), posted)
    assert page.status_code == 422
    assert sentence in page.content.decode()
    assert not HomeLink.objects.exists()


def test_a_renewed_link_leaves_the_other_parents_alone(
    signed_in: Client, family: Family, student: Student
) -> None:
    his, hers = made(family, student, "Tomás"), made(family, student, "Adaeze")
    before = tokens.shown_again(his)
    signed_in.post(reverse("home:link-renew", args=[his.pk]))
    his.refresh_from_db()
    assert Client().get(f"/home/{before}/").status_code == 404
    assert Client().get(f"/home/{tokens.shown_again(his)}/").status_code == 200
    signed_in.post(reverse("home:link-revoke", args=[his.pk]))
    assert Client().get(f"/home/{tokens.shown_again(his)}/").status_code == 404
    assert Client().get(f"/home/{tokens.shown_again(hers)}/").status_code == 200


def test_the_code_of_a_shut_link_is_not_shown(
    signed_in: Client, family: Family, student: Student
) -> None:
    link = made(family)
    code = reverse("home:link-code", args=[link.pk])
    assert signed_in.get(code).headers["Content-Type"] == "image/svg+xml"
    tokens.revoke(link, NOW)
    assert signed_in.get(code).status_code == 404


def test_another_studios_links_are_not_there(
    signed_in: Client, other_student: Student, student: Student
) -> None:
    link = made(other_student.family, other_student)
    for name in ("home:link-renew", "home:link-revoke", "home:link-sent"):
        assert signed_in.post(reverse(name, args=[link.pk])).status_code == 404
    assert signed_in.get(reverse("home:link-code", args=[link.pk])).status_code == 404
    assert signed_in.get(reverse("home:links", args=[other_student.family_id])).status_code == 404
    make = reverse("home:link-make", args=[other_student.family_id])
    assert signed_in.post(make, {"opens": "all"}).status_code == 404
    own = reverse("home:link-make", args=[student.family_id])
    assert signed_in.post(own, {"opens": str(other_student.pk)}).status_code == 422
    link.refresh_from_db()
    assert link.revoked is None


def test_a_calendar_address_is_no_home_link(signed_in: Client, family: Family) -> None:
    link = HomeLink(family=family, opens=HomeLink.Opens.CALENDAR)
    tokens.issue(link)
    assert signed_in.post(reverse("home:link-revoke", args=[link.pk])).status_code == 404


def test_a_child_old_enough_is_offered_a_link_alone(signed_in: Client, student: Student) -> None:
    factories.StudentFactory.create(family=student.family, given_name="Ngozi")
    page = reverse("home:links", args=[student.family_id])

    def preset() -> str:
        return str(signed_in.get(page).context["form"]["opens"].value())

    assert preset() == "all"
    student.birth_date = dt.date(2013, 11, 25)  # thirteen today
    student.save()
    assert preset() == str(student.pk)
    made(student.family, student)
    assert preset() == "all"


def test_which_link_a_sheet_carries(student: Student) -> None:
    today = DAY
    assert links.fitting_link(student, NOW, today) is None
    family = made(student.family)
    assert links.fitting_link(student, NOW, today) == family
    factories.StudentFactory.create(family=student.family, given_name="Ngozi")
    student.birth_date = dt.date(2013, 11, 25)
    student.save()
    assert links.fitting_link(student, NOW, today) is None  # it would open Ngozi's page too
    own = made(student.family, student)
    assert links.fitting_link(student, NOW, today) == own
    own.expires = NOW
    own.save()
    assert links.fitting_link(student, NOW, today) is None


def test_the_letter_opens_in_a_mail_program(
    rf: RequestFactory, family: Family, student: Student
) -> None:
    """RFC 6068: percent-encoded UTF-8, lines parted by %0D%0A."""
    made(family, label="Tomás Okonkwo-Reyes")
    (row,) = links.shown(rf.get("/"), family, NOW)
    parts = urlsplit(row.letter)
    assert (parts.scheme, unquote(parts.path)) == ("mailto", "tomas@example.org")
    said = parse_qs(parts.query)
    assert said["subject"] == ["Imani’s practice page"]
    assert row.address in said["body"][0].split("\r\n")
    assert "+" not in parts.query


def test_the_letter_of_one_of_two_parents_goes_to_that_one(
    rf: RequestFactory, family: Family, student: Student
) -> None:
    factories.GuardianFactory.create(
        family=family, name="Adaeze Okonkwo", email="adaeze@example.org"
    )
    for label, to in (("Adaeze Okonkwo", "adaeze@example.org"), ("the tablet", "")):
        link = made(family, label=label)
        assert links.addressee(link, list(family.guardians.all())) == to


def test_i_have_sent_it_is_noted_on_the_week(
    signed_in: Client, family: Family, student: Student, frozen: FrozenClock
) -> None:
    week: Assignment = factories.PlanFactory.create(assignment__student=student).assignment
    link = made(family)
    signed_in.post(reverse("home:link-sent", args=[link.pk]))
    week.refresh_from_db()
    assert week.sent == frozen.moment


def test_the_code_reads_back(signed_in: Client, family: Family, student: Student) -> None:
    from weasyprint import HTML

    link = made(family)
    svg = signed_in.get(reverse("home:link-code", args=[link.pk])).content.decode()
    page = HTML(string=f"<style>@page{{size:80mm 80mm;margin:0}}</style>{svg}")
    expected = f"http://testserver/home/{tokens.shown_again(link)}/"
    assert read_codes(page.write_pdf()) == [expected]
