"""The page for grown-ups: lessons, reports, notes, sheets, calendar, sisters and brothers."""

from __future__ import annotations

import datetime as dt

import pytest
from django.test import Client
from django.urls import reverse

from practice.models import Assignment, LessonNote, Report
from practice.reports import editions
from practice.reports.figures import term_figures
from studio.links import tokens
from studio.models import HomeLink, Student, Term
from tests import factories
from tests.conftest import FrozenClock
from tests.factories import DAY, NOW
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


def test_the_recital_is_told_with_what_the_child_plays_and_to_nobody_who_does_not(
    client: Client, token: str, student: Student, other_student: Student
) -> None:
    address = reverse("home:week", args=[token, student.pk])
    assert "Recital" not in client.get(address).content.decode()
    piece = factories.PerformanceFactory.create(
        programme__recital__studio=student.family.studio,
        student=student,
        work__title="Gavotte",
        work__composer="",
    )
    recital = piece.programme.recital
    recital.name, recital.date, recital.place = "Winter recital", DAY, "Town library"
    recital.save()
    other = HomeLink(opens=HomeLink.Opens.STUDENT, family=other_student.family)
    other.student = other_student
    theirs = reverse("home:week", args=[tokens.issue(other), other_student.pk])
    assert "Winter recital" not in client.get(theirs).content.decode()
    page = client.get(address).content.decode()
    for words in ("Winter recital", "Town library", f"{DAY:%A} {DAY.day}", "Gavotte"):
        assert words in page
    recital.called_off = True
    recital.save()
    assert "called off" in client.get(address).content.decode()
    recital.date = DAY - dt.timedelta(days=1)
    recital.save()
    assert "Winter recital" not in client.get(address).content.decode()


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


def given(term: Term, student: Student, words: str) -> Report:
    """A report as the teacher gives it."""
    before = editions.given_of(student)
    draft = editions.correct(before[0]) if before else None
    if draft is None:
        draft = editions.keep_words(term, student, words)
    assert draft is not None
    draft.words = words
    draft.save()
    figures = term_figures(term, [student], DAY)[student.pk]
    return editions.give(draft, figures, before[0] if before else None, NOW, "Europe/Lisbon")


@pytest.fixture
def term(student: Student) -> Term:
    return factories.TermFactory.create(studio=student.family.studio)


def report_urls(token: str, term: Term, student: Student) -> list[str]:
    names = ("home:report", "home:report-pdf")
    return [reverse(name, args=[token, student.pk, term.pk]) for name in names]


def test_a_report_is_read_once_it_is_given_and_the_latest_edition_then(
    client: Client, token: str, student: Student, term: Term
) -> None:
    week = reverse("home:week", args=[token, student.pk])
    draft = editions.keep_words(term, student, "Not for anybody yet.")
    page, pdf = report_urls(token, term, student)
    assert [client.get(each).status_code for each in (page, pdf)] == [404, 404]
    assert page not in client.get(week).content.decode()
    assert draft is not None
    figures = term_figures(term, [student], DAY)[student.pk]
    editions.give(draft, figures, None, NOW, "Europe/Lisbon")
    assert page in client.get(week).content.decode()
    assert "Not for anybody yet." in client.get(page).content.decode()
    assert client.get(pdf).content.startswith(b"%PDF")
    editions.keep_words(term, student, "Never shown.")
    given(term, student, "Mended.")
    text = client.get(page).content.decode()
    assert ("Mended." in text, "Edition 2" in text, "yet." in text) == (True, True, False)


def test_a_given_report_stays_as_it_was(
    client: Client, token: str, student: Student, term: Term
) -> None:
    given(term, student, "She listens.")
    page, _ = report_urls(token, term, student)
    before = client.get(page).content
    piece = factories.PieceInHandFactory.create(student=student)
    student.given_name = "Imi"
    student.save()
    after = client.get(page).content
    assert piece.work.title.encode() not in after
    assert after.replace("Imi’s".encode(), "Imani’s".encode()).replace(b"Imi<", b"Imani<") == before


def test_a_childs_own_link_opens_no_report(client: Client, student: Student, term: Term) -> None:
    given(term, student, "For grown-ups.")
    own = HomeLink(opens=HomeLink.Opens.SHEET, family=student.family, student=student)
    secret = tokens.issue(own)
    week = client.get(reverse("home:week", args=[secret, student.pk])).content.decode()
    assert "Term reports" not in week
    for address in report_urls(secret, term, student):
        assert client.get(address).status_code == 404
    grown_up = tokens.issue(
        HomeLink(opens=HomeLink.Opens.STUDENT, family=student.family, student=student)
    )
    for address in report_urls(grown_up, term, student):
        assert client.get(address).status_code == 200


def test_nobody_elses_report_opens(
    client: Client, student: Student, term: Term, other_student: Student
) -> None:
    """By a link to one child: neither a brother's, nor another family's, nor another studio's."""
    sibling = factories.StudentFactory.create(family=student.family, given_name="Ngozi")
    neighbour = factories.StudentFactory.create(family__studio=student.family.studio)
    elsewhere = factories.TermFactory.create(studio=other_student.family.studio)
    secret = tokens.issue(
        HomeLink(opens=HomeLink.Opens.STUDENT, family=student.family, student=student)
    )
    for child, when in ((sibling, term), (neighbour, term), (other_student, elsewhere)):
        given(when, child, "Theirs.")
        for address in (*report_urls(secret, when, child), *report_urls(secret, when, student)):
            assert client.get(address).status_code == 404, (child, address)


def test_only_notes_meant_for_home_are_there(
    client: Client, token: str, student: Student, week: Assignment
) -> None:
    lesson = factories.LessonFactory.create(student=student, date=DAY - dt.timedelta(days=3))
    LessonNote.objects.create(lesson=lesson, text="Rosin every second day.", on_sheet=True)
    LessonNote.objects.create(lesson=lesson, text="Ask about the exam nerves.", on_sheet=False)
    page = client.get(reverse("home:week", args=[token, student.pk])).content.decode()
    assert "Rosin every second day." in page
    assert "nerves" not in page


def test_the_next_lesson_is_one_that_is_not_over(
    client: Client, token: str, student: Student, frozen: FrozenClock
) -> None:
    """Also where no week has been decided yet."""
    make = factories.LessonFactory.create
    make(student=student, date=DAY, starts=dt.time(15), minutes=30)
    make(student=student, date=DAY + dt.timedelta(days=7), starts=dt.time(15), minutes=30)

    def shown() -> str:
        return client.get(reverse("home:week", args=[token, student.pk])).content.decode()

    assert "<b>Wednesday 25 November, 15:00</b>" in shown()
    frozen.set(dt.datetime.combine(DAY, dt.time(15, 31), tzinfo=dt.UTC))
    assert "<b>Wednesday 2 December, 15:00</b>" in shown()
    assert "No week has been decided yet" in shown()
