"""How a teacher comes to a report: by the terms of the list, and from a student's page."""

from __future__ import annotations

import datetime as dt

import pytest
from django.test import Client
from django.urls import reverse

from studio.models import Student, Studio, Term
from tests import factories

pytestmark = pytest.mark.usefixtures("frozen")


@pytest.fixture
def term(studio: Studio) -> Term:
    return factories.TermFactory.create(studio=studio)


def test_terms_long_past_wait_behind_a_link(signed_in: Client, studio: Studio, term: Term) -> None:
    for year in range(2015, 2024):
        ends = dt.date(year, 3, 30)
        factories.TermFactory.create(
            studio=studio, name=f"Winter {year}", starts=dt.date(year, 1, 8), ends=ends
        )
    page = signed_in.get(reverse("reports:term")).content.decode()
    assert ("Winter 2023" in page, "Winter 2015" in page) == (True, False)
    page = signed_in.get(f"{reverse('reports:term')}?earlier").content.decode()
    assert "Winter 2015" in page
    oldest = Term.objects.get(name="Winter 2015")
    page = signed_in.get(reverse("reports:of-term", args=[oldest.pk])).content.decode()
    assert 'aria-current="page"><bdi>Winter 2015</bdi>' in page


def test_a_students_page_leads_to_the_report_of_the_term(
    signed_in: Client, term: Term, student: Student
) -> None:
    where = reverse("reports:latest", args=[student.pk])
    assert where in signed_in.get(reverse("people:student", args=[student.pk])).content.decode()
    factories.TermFactory.create(
        studio=term.studio, starts=dt.date(2027, 1, 8), ends=dt.date(2027, 3, 30)
    )
    answer = signed_in.get(where)
    assert answer["Location"] == reverse("reports:report", args=[term.pk, student.pk])
    Student.objects.filter(pk=student.pk).update(started=dt.date(2027, 1, 8))
    assert signed_in.get(where)["Location"] == reverse("reports:term")
