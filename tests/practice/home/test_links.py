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
from tests.factories import NOW
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
    link = HomeLink.objects.get(opens="student")
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
    link = HomeLink.objects.get(opens="student")
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
    theirs = reverse("home:sheet-link-make", args=[other_student.pk])
    assert signed_in.post(theirs).status_code == 404
    own = reverse("home:link-make", args=[student.family_id])
    assert signed_in.post(own, {"opens": str(other_student.pk)}).status_code == 422
    link.refresh_from_db()
    assert link.revoked is None


def test_a_calendar_address_is_no_home_link(signed_in: Client, family: Family) -> None:
    link = HomeLink(family=family, opens=HomeLink.Opens.CALENDAR)
    tokens.issue(link)
    assert signed_in.post(reverse("home:link-revoke", args=[link.pk])).status_code == 404


def test_the_first_link_of_a_home_gives_every_childs_sheets_their_own(
    signed_in: Client, student: Student
) -> None:
    sibling = factories.StudentFactory.create(family=student.family, given_name="Ngozi")
    make = reverse("home:link-make", args=[student.family_id])
    signed_in.post(make, {"opens": "all"})
    first = {each: links.sheet_link(each, NOW) for each in (student, sibling)}
    assert all(first.values())
    signed_in.post(make, {"opens": str(student.pk)})
    assert {each: links.sheet_link(each, NOW) for each in first} == first


def test_a_shut_code_comes_back_only_when_asked_for(signed_in: Client, student: Student) -> None:
    links.give_sheet_links([student])
    code = links.sheet_link(student, NOW)
    assert code is not None
    before = tokens.shown_again(code)
    signed_in.post(reverse("home:link-revoke", args=[code.pk]))
    links.give_sheet_links([student])
    assert links.sheet_link(student, NOW) is None
    page = signed_in.get(reverse("home:links", args=[student.family_id])).content.decode()
    assert "no code on the sheets" in page
    signed_in.post(reverse("home:sheet-link-make", args=[student.pk]))
    code = links.sheet_link(student, NOW)
    assert code is not None
    assert Client().get(f"/home/{before}/").status_code == 404
    assert Client().get(f"/home/{tokens.shown_again(code)}/").status_code == 200


def test_shutting_one_parents_link_leaves_the_paper_and_the_other_parent_alone(
    signed_in: Client, student: Student
) -> None:
    his, hers = made(student.family, student, "Tomás"), made(student.family, student, "Adaeze")
    links.give_sheet_links([student])
    paper = links.sheet_link(student, NOW)
    assert paper is not None
    signed_in.post(reverse("home:link-revoke", args=[his.pk]))
    opened = [
        Client().get(f"/home/{tokens.shown_again(each)}/").status_code
        for each in (his, hers, paper)
    ]
    assert opened == [404, 200, 200]


OLD_ENOUGH = dt.date(2013, 11, 25)  # thirteen today
TOO_YOUNG = dt.date(2013, 11, 26)


@pytest.mark.parametrize(
    ("imani", "ngozi", "from_imanis_sheet", "from_ngozis_sheet"),
    [
        (None, None, ["Imani", "Ngozi"], ["Ngozi", "Imani"]),
        (TOO_YOUNG, None, ["Imani", "Ngozi"], ["Ngozi", "Imani"]),
        (OLD_ENOUGH, None, ["Imani"], ["Ngozi"]),
        (OLD_ENOUGH, OLD_ENOUGH, ["Imani"], ["Ngozi"]),
    ],
)
def test_a_child_old_enough_is_shown_with_nobody_else(
    student: Student,
    imani: dt.date | None,
    ngozi: dt.date | None,
    from_imanis_sheet: list[str],
    from_ngozis_sheet: list[str],
) -> None:
    """By each child's own code: page, week and sending of each child of the family."""
    student.birth_date = imani
    student.save()
    sibling = factories.StudentFactory.create(
        family=student.family, given_name="Ngozi", birth_date=ngozi
    )
    names = {"Imani": student, "Ngozi": sibling}
    links.give_sheet_links(names.values())
    for name, opened in (("Imani", from_imanis_sheet), ("Ngozi", from_ngozis_sheet)):
        code = links.sheet_link(names[name], NOW)
        assert code is not None
        token = tokens.shown_again(code)
        assert opened == [each.given_name for each in links.opened_by(code, [student, sibling])]
        page = Client().get(f"/home/{token}/").content.decode()
        for other, child in names.items():
            wanted = 200 if other in opened else 404
            for address in ("home:child", "home:week"):
                answer = Client().get(reverse(address, args=[token, child.pk]))
                assert answer.status_code == wanted, (name, other, address)
            sent = Client().post(reverse("home:send", args=[token, child.pk]), b"{}", "text/plain")
            assert sent.status_code == (422 if wanted == 200 else 404)
            assert (other in page) == (other in opened)


def test_grown_ups_see_every_child_of_the_family_whatever_its_age(student: Student) -> None:
    student.birth_date = OLD_ENOUGH
    student.save()
    sibling = factories.StudentFactory.create(family=student.family, given_name="Ngozi")
    link = made(student.family)
    assert set(links.opened_by(link, [student, sibling])) == {student, sibling}
    assert links.opened_by(made(student.family, sibling), [student, sibling]) == [sibling]


def test_an_adult_is_a_family_of_one(signed_in: Client, student: Student) -> None:
    """Nobody else's page by any of the links, and the reports by the grown-up's own."""
    student.birth_date = dt.date(1985, 3, 1)
    student.save()
    stranger = factories.StudentFactory.create(family__studio=student.family.studio)
    make = reverse("home:link-make", args=[student.family_id])
    signed_in.post(make, {"opens": str(student.pk)})
    for link in HomeLink.objects.filter(family=student.family):
        token = tokens.shown_again(link)
        assert Client().get(reverse("home:week", args=[token, student.pk])).status_code == 200
        assert Client().get(reverse("home:week", args=[token, stranger.pk])).status_code == 404


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


def test_the_letter_of_an_only_guardian_needs_no_name_but_a_childs_own_goes_to_nobody(
    family: Family, student: Student
) -> None:
    links.give_sheet_links([student])
    guardians = list(family.guardians.all())
    paper = links.sheet_link(student, NOW)
    assert paper is not None
    assert links.addressee(made(family, student), guardians) == "tomas@example.org"
    assert links.addressee(paper, guardians) == ""


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
