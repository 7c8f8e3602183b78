"""The studio's year as a page and on paper."""

from __future__ import annotations

import datetime as dt
import io
from pathlib import Path

import page as pdf_ua
import pypdf
import pytest
from django.test import Client
from django.urls import reverse
from playwright.sync_api import Page

from studio.models import Student
from tests import factories
from tests.pages.axe import assert_accessible
from tests.practice.reports.material import played

pytestmark = pytest.mark.usefixtures("frozen")
CALENDAR = ["calendar", 2026]


@pytest.fixture
def taught(student: Student) -> Student:
    for month in (9, 10):
        factories.LessonFactory.create(
            student=student, date=dt.date(2026, month, 2), status="kept", minutes=45
        )
        played(student, dt.date(2026, month, 3), "scale", 10, 12)
    factories.ScaleInHandFactory.create(student=student, since=dt.date(2026, 9, 1))
    return student


def text(client: Client, name: str, *arguments: object) -> str:
    return client.get(reverse(f"reports:{name}", args=arguments)).content.decode()


def test_the_page_opens_at_the_school_year_of_today(signed_in: Client, taught: Student) -> None:
    page = text(signed_in, "this-year")
    for words in (
        "<h1>School year 2026/27",
        "1 h 30 min in 2 lessons",
        "Hours taught: August 0, September 0.8, October 0.8,",
        "Something was ticked on 2 of 2 practice days (100 %).",
        "September 0.2 of 0.2",
        "Counted until 25 November 2026.",
        reverse("reports:year", args=["school", 2025]),
        reverse("reports:year", args=CALENDAR),
    ):
        assert words in page, words


def test_months_to_come_have_no_row(signed_in: Client, taught: Student) -> None:
    """Today is 25 November: the school year has four months so far."""
    page = text(signed_in, "this-year")
    rows = [words for words in ("Aug 2026", "Nov 2026", "Dec 2026", "Jul 2027") if words in page]
    assert rows == ["Aug 2026", "Nov 2026"]
    assert "Dec 2025" in text(signed_in, "year", "school", 2025)


def test_nobody_is_named(signed_in: Client, taught: Student) -> None:
    for page in (text(signed_in, "this-year"), text(signed_in, "year", *CALENDAR)):
        assert "Imani" not in page
        assert "Okonkwo" not in page


def test_a_year_without_anything_says_so(signed_in: Client, taught: Student) -> None:
    page = text(signed_in, "year", "calendar", 2001)
    for words in (
        "No lesson was kept in this year.",
        "No practice week was planned in this year.",
        "No scale was in hand in this year.",
    ):
        assert words in page


@pytest.mark.parametrize(("kind", "first"), [("lunar", 2026), ("school", 1989), ("calendar", 2200)])
def test_there_is_no_other_year(signed_in: Client, kind: str, first: int) -> None:
    for name in ("year", "year-pdf"):
        assert signed_in.get(reverse(f"reports:{name}", args=[kind, first])).status_code == 404


def test_another_studio_is_not_in_it(signed_in: Client, other_student: Student) -> None:
    played(other_student, dt.date(2026, 9, 3), "scale", 10, 12)
    assert "No practice week was planned" in text(signed_in, "this-year")


def test_on_paper_two_pages_that_pdf_ua_1_has_no_complaint_about(
    signed_in: Client, taught: Student, tmp_path: Path
) -> None:
    made = signed_in.get(reverse("reports:year-pdf", args=["school", 2026])).content
    path = tmp_path / "year.pdf"
    path.write_bytes(made)
    # page-validation: 104 rules of ISO 14289-1 (PDF/UA-1), an independent implementation.
    checked = pdf_ua.validate_pdf(path, profile=pdf_ua.ValidationProfile.PDF_UA_1)
    assert checked.is_compliant, checked.failures
    reader = pypdf.PdfReader(io.BytesIO(made))
    assert len(reader.pages) == 2
    words = " ".join(" ".join(page.extract_text() for page in reader.pages).split())
    for said in ("School year 2026/27", "1 h 30 min in 2 lessons", "Sep 2026 1 45 0 12"):
        assert said in words, said
    assert "Imani" not in words


@pytest.mark.django_db(transaction=True)
def test_axe_has_no_complaint(teacher_page: Page, taught: Student) -> None:
    teacher_page.goto(reverse("reports:this-year"))
    assert_accessible(teacher_page)
    teacher_page.set_viewport_size({"width": 390, "height": 844})
    assert_accessible(teacher_page)
    wide = teacher_page.evaluate("document.documentElement.scrollWidth")
    assert wide <= 390
