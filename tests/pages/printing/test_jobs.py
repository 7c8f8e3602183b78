"""Printing for everybody as the teacher meets it: asking, waiting, taking, cancelling."""

from __future__ import annotations

import datetime as dt
import io
import zipfile
from typing import Any
from uuid import UUID

import pypdf
import pytest
from django.test import Client
from django.urls import reverse
from playwright.sync_api import Page, expect

from practice.models import Assignment, PrintJob
from practice.plans.generate import Wanted, past_of, store, week_inputs
from practice.plans.hand import hand_of
from practice.plans.weeks import week_from
from practice.printing import ask
from practice.printing import store as files
from practice.printing.orders import Answer
from practice.printing.pens import Pens
from studio.models import Student, Studio, Term
from tests import factories
from tests.conftest import FrozenClock
from tests.pages.axe import assert_accessible
from tests.practice.printing.material import (
    NAMES,
    ScriptedPens,
    a_term,
    given_reports,
    worked_off,
)

pytestmark = pytest.mark.usefixtures("frozen")
MONDAY = dt.date(2026, 11, 23)


def address(name: str, *arguments: int | UUID) -> str:
    return reverse(f"printing:{name}", args=arguments)


def text(client: Client, job: PrintJob) -> str:
    return client.get(address("job", job.pk)).content.decode()


def decided(student: Student, starts: dt.date, hour: int) -> Assignment:
    lesson = factories.LessonFactory.create(
        student=student, date=starts, starts=dt.time(hour), status="kept"
    )
    row: Assignment = factories.AssignmentFactory.create(
        student=student, starts=starts, lesson=lesson
    )
    hand, week = hand_of(student), week_from(student, starts)
    inputs = week_inputs(student, week, hand, Wanted(tuple(row.minutes)), past_of(student, starts))
    row.plan = store(row, inputs, hand, None)
    return row


def test_reports_of_a_term_without_script(signed_in: Client, term: Term) -> None:
    given_reports(term)
    page = signed_in.get(reverse("reports:of-term", args=[term.pk])).content.decode()
    assert f'action="{address("reports", term.pk)}"' in page
    page = signed_in.post(address("reports", term.pk), follow=True).content.decode()
    assert "0 of 3 students drawn" in page
    job = PrintJob.objects.get()
    assert f'<a class="btn small" href="{address("job", job.pk)}">Look again</a>' in page
    worked_off(Pens)
    page = text(signed_in, job)
    assert "Ready: 3 students" in page
    # 25 November 2026, noon UTC, and seven days more.
    assert "until Wednesday 2 December, 12:00, then deleted." in page
    answer = signed_in.get(address("pdf", job.pk))
    assert answer["Content-Type"] == "application/pdf"
    reader = pypdf.PdfReader(io.BytesIO(b"".join(answer)))
    assert [page.extract_text().split("’s term")[0] for page in reader.pages] == list(NAMES)
    answer = signed_in.get(address("zip", job.pk))
    assert "attachment" in answer["Content-Disposition"]
    folder = zipfile.ZipFile(io.BytesIO(b"".join(answer)))
    assert folder.namelist() == ["01-imani.pdf", "02-bảo.pdf", "03-łucja.pdf"]


def test_sheets_of_a_week_in_the_order_of_lessons(signed_in: Client, studio: Studio) -> None:
    for name, day, hour in (("Łucja", 1, 9), ("Imani", 0, 17), ("Bảo", 1, 8), ("Sefa", 7, 9)):
        who = factories.StudentFactory.create(family__studio=studio, given_name=name)
        factories.ScaleInHandFactory.create(student=who)
        decided(who, MONDAY + dt.timedelta(days=day), hour)
    page = signed_in.get(address("jobs")).content.decode()
    assert "Print 3" in page
    page = signed_in.post(address("sheets"), {"week": "2026-11-23"}, follow=True).content.decode()
    assert "Sheets of the week of 23 November 2026" in page
    assert not Assignment.objects.exclude(printed=None).exists()
    pens = ScriptedPens()
    worked_off(pens)
    assert [line.strip() for line in pens.bound] == ["Imani", "Bảo", "Łucja"]
    printed = Assignment.objects.exclude(printed=None)
    assert {row.student.given_name for row in printed} == {"Imani", "Bảo", "Łucja"}


def test_a_sheet_is_frozen_once_and_anew_when_the_week_was_decided_again(
    signed_in: Client, student: Student
) -> None:
    factories.ScaleInHandFactory.create(student=student)
    row = decided(student, MONDAY, 9)
    for _ in range(2):
        signed_in.post(address("sheets"), {"week": "2026-11-23"})
        worked_off(ScriptedPens())
        assert row.plan.sheets.count() == 1
    row.listen_for = "The bow arm."
    row.save()
    row.plan.save()
    signed_in.post(address("sheets"), {"week": "2026-11-23"})
    assert row.plan.sheets.count() == 2
    part = PrintJob.objects.unfinished().get().parts.get()
    assert part.sheet is not None
    assert part.sheet.edition == 2


@pytest.mark.parametrize(
    ("week", "words"),
    [
        ("2026-11-23", "No week is decided yet"),
        ("soon", "“soon” is not a day"),
        ("9999-12-31", "is too late"),
        ("", "Week is missing."),
    ],
)
def test_a_week_with_nothing_to_print_is_told(signed_in: Client, week: str, words: str) -> None:
    answer = signed_in.post(address("sheets"), {"week": week}, follow=True)
    assert words in answer.content.decode()
    assert not PrintJob.objects.exists()


def test_a_term_with_nothing_to_print_is_told(signed_in: Client, term: Term) -> None:
    answer = signed_in.post(address("reports", term.pk), follow=True)
    assert "No report of this term is given yet." in answer.content.decode()


def test_whoever_could_not_be_drawn_is_named_with_the_reason(
    signed_in: Client, job: PrintJob
) -> None:
    worked_off(ScriptedPens({"Bảo": Answer(0, "It does not fit on two pages.")}))
    page = text(signed_in, job)
    assert "Ready: 2 students" in page
    assert page.index("Could not be drawn") < page.index("Bảo") < page.index("It does not fit")
    assert "1 could not be drawn" in signed_in.get(address("jobs")).content.decode()


def test_cancelling_and_throwing_away(signed_in: Client, job: PrintJob) -> None:
    page = signed_in.post(address("cancel", job.pk), follow=True).content.decode()
    assert "Cancelled: Reports of" in page
    assert "Nothing of it is kept." in page
    page = signed_in.post(address("throw-away", job.pk), follow=True).content.decode()
    assert "Thrown away: Reports of" in page
    assert not PrintJob.objects.exists()


def test_a_job_that_is_ready_can_be_thrown_away_with_its_files(
    signed_in: Client, job: PrintJob
) -> None:
    worked_off(ScriptedPens())
    assert files.is_there(job.pk)
    signed_in.post(address("throw-away", job.pk))
    assert not files.folder(job.pk).exists()


def test_files_that_are_not_here_are_told(signed_in: Client, job: PrintJob) -> None:
    for state in ("waiting", "gone"):
        if state == "gone":
            worked_off(ScriptedPens())
            files.drop(job.pk)
        for name in ("pdf", "zip"):
            answer = signed_in.get(address(name, job.pk))
            assert answer.status_code == 302
            assert answer["Location"] == address("job", job.pk)
    assert "The files are not here any more" in text(signed_in, job)


@pytest.mark.parametrize("name", ["job", "pdf", "zip", "cancel", "throw-away"])
def test_another_teachers_job_is_not_there(
    signed_in: Client, other_studio: Studio, name: str
) -> None:
    theirs = a_term(other_studio)
    given_reports(theirs)
    job = ask.print_reports(theirs)
    worked_off(ScriptedPens())
    method = signed_in.post if name in ("cancel", "throw-away") else signed_in.get
    assert method(address(name, job.pk)).status_code == 404
    assert signed_in.post(address("reports", theirs.pk)).status_code == 404
    assert files.is_there(job.pk)
    assert "Reports of" not in signed_in.get(address("jobs")).content.decode()


def test_queries_do_not_grow(
    signed_in: Client, studio: Studio, django_assert_max_num_queries: Any, frozen: FrozenClock
) -> None:
    for number in range(6):
        term = factories.TermFactory.create(studio=studio, name=f"Term {number}")
        given_reports(term, [f"S{number}{one}" for one in range(4)])
        job = ask.print_reports(term)
        worked_off(ScriptedPens())
    with django_assert_max_num_queries(6):
        signed_in.get(address("jobs"))
    with django_assert_max_num_queries(7):
        signed_in.get(address("job", job.pk))
    with django_assert_max_num_queries(16):
        signed_in.post(address("reports", term.pk))


@pytest.mark.django_db(transaction=True)
def test_the_page_follows_the_work_by_itself(teacher_page: Page, job: PrintJob) -> None:
    teacher_page.goto(address("job", job.pk))
    assert_accessible(teacher_page)
    expect(teacher_page.get_by_role("progressbar")).to_have_attribute("max", "3")
    worked_off(ScriptedPens({"Bảo": Answer(0, "It does not fit.")}))
    expect(teacher_page.get_by_role("status")).to_have_text(
        "Ready: 2 students, in the order of lessons"
    )
    assert_accessible(teacher_page)
    teacher_page.get_by_role("link", name="Printing for everybody").click()
    expect(teacher_page.get_by_role("heading", level=1)).to_contain_text("Printing for everybody")
    assert_accessible(teacher_page)
