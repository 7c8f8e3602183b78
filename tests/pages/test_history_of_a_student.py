"""A student's years, on the page and on paper."""

from __future__ import annotations

import datetime as dt
import io
from pathlib import Path
from typing import Any

import page as pdf_ua
import pypdf
import pytest
from django.db import connection
from django.test import Client
from django.urls import reverse
from playwright.sync_api import Page

from practice.models import PieceInHand
from practice.reports.history import Year, history_of
from studio.models import Student
from tests import factories
from tests.factories import DAY
from tests.pages.axe import assert_accessible
from tests.practice.reports.material import played

pytestmark = pytest.mark.usefixtures("frozen")


def two_years(student: Student) -> None:
    for day in (dt.date(2025, 12, 30), dt.date(2026, 1, 6), dt.date(2026, 1, 13)):
        factories.LessonFactory.create(student=student, date=day, status="kept")
        played(student, day, "scale", 10, 40)
    factories.LessonFactory.create(student=student, date=DAY, status="missed")
    played(student, DAY, "scale", 10, 10, done=False)
    played(student, DAY + dt.timedelta(days=1), "scale", 10, 10)
    factories.ScaleInHandFactory.create(student=student, key="E minor", form="melodic")
    factories.EtudeInHandFactory.create(student=student)
    for number in range(70):
        factories.PieceInHandFactory.create(
            student=student,
            work__title=f"Piece {number}",
            stage=PieceInHand.Stage.FINISHED if number else PieceInHand.Stage.SET_ASIDE,
            started=dt.date(2025, 1, 1) + dt.timedelta(days=9 * number),
            finished=DAY,
        )


def test_years_by_hand_and_by_plain_sql(student: Student) -> None:
    two_years(student)
    found = history_of(student, DAY)
    assert found.years == (Year(2026, 2, 80), Year(2025, 1, 40))
    with connection.cursor() as cursor:
        cursor.execute(
            "select sum(log.minutes) from practice_logentry log"
            " join practice_item item on item.id = log.item_id"
            " where log.done and item.date <= %s",
            [DAY],
        )
        assert cursor.fetchone() == (sum(year.minutes for year in found.years),)


def test_the_page_has_pieces_keys_and_reports(signed_in: Client, student: Student) -> None:
    two_years(student)
    term = factories.TermFactory.create(studio=student.family.studio)
    signed_in.post(reverse("reports:give", args=[term.pk, student.pk]), {"words": "She listens."})
    page = signed_in.get(reverse("reports:history", args=[student.pk])).content.decode()
    for words in ("Piece 69", "(set aside)", "(melodic minor)", "1 h 20 min", "Autumn term 2026"):
        assert words in page, words


def test_years_long_past_wait_behind_a_link(signed_in: Client, student: Student) -> None:
    two_years(student)
    long_ago = dt.date(2024, 3, 5)
    factories.LessonFactory.create(student=student, date=long_ago, status="kept")
    factories.PieceInHandFactory.create(
        student=student,
        work__title="Played as a child",
        stage=PieceInHand.Stage.FINISHED,
        started=long_ago,
        finished=dt.date(2024, 12, 31),
    )
    Student.objects.filter(pk=student.pk).update(started=long_ago)
    where = reverse("reports:history", args=[student.pk])
    page = signed_in.get(where).content.decode()
    assert "Piece 0" in page
    assert "Played as a child" not in page
    assert '<th scope="row">2024</th>' not in page
    assert '<a href="?before=all">' in page
    page = signed_in.get(f"{where}?before=all").content.decode()
    assert "Played as a child" in page
    assert '<th scope="row">2024</th>' in page
    assert "?before=all" not in page


def test_sizes_of_the_violin_have_their_days(student: Student) -> None:
    student.sizes.all().delete()
    for size, since in (("1/2", dt.date(2024, 9, 1)), ("3/4", dt.date(2026, 1, 7))):
        student.sizes.create(size=size, since=since)
    student.sizes.create(size="4/4", since=DAY + dt.timedelta(days=9))
    assert [(span.title, span.starts, span.ends) for span in history_of(student, DAY).sizes] == [
        ("3/4", dt.date(2026, 1, 7), None),
        ("1/2", dt.date(2024, 9, 1), dt.date(2026, 1, 7)),
    ]


def test_what_a_family_takes_along_tells_where_things_stand_and_no_private_note(
    signed_in: Client, student: Student, tmp_path: Path
) -> None:
    two_years(student)
    student.notes = "Mother is anxious about auditions."
    student.save()
    spot = factories.SpotFactory.create(piece__student=student, what="The low second finger.")
    solved = factories.SpotFactory.create(
        piece=spot.piece, what="Long done", state="solved", solved=DAY
    )
    made = signed_in.get(reverse("reports:moving-pdf", args=[student.pk])).content
    path = tmp_path / "along.pdf"
    path.write_bytes(made)
    # page-validation: ISO 14289-1 (PDF/UA-1), an independent implementation.
    checked = pdf_ua.validate_pdf(path, profile=pdf_ua.ValidationProfile.PDF_UA_1)
    assert checked.is_compliant, checked.failures
    text = " ".join(" ".join(page.extract_text() for page in pypdf.PdfReader(path).pages).split())
    for said in (
        "Imani, to take along",
        "Scale and arpeggio: E minor",
        f"{spot.label}: The low second finger. {spot.tempo_now} beats a minute,",
        "Practice at home: Mon 20,",
        "Piece 69",
    ):
        assert said in text, said
    for hidden in ("auditions", "Okonkwo", solved.what):
        assert hidden not in text, hidden


def test_a_student_with_nothing_in_hand_takes_little_along(
    signed_in: Client, student: Student
) -> None:
    made = signed_in.get(reverse("reports:moving-pdf", args=[student.pk])).content
    assert "Nothing is in hand." in pypdf.PdfReader(io.BytesIO(made)).pages[0].extract_text()


def test_paper_to_keep_reads_well_and_has_the_first_name_only(
    signed_in: Client, student: Student, tmp_path: Path
) -> None:
    two_years(student)
    made = signed_in.get(reverse("reports:history-pdf", args=[student.pk])).content
    path = tmp_path / "history.pdf"
    path.write_bytes(made)
    # page-validation: ISO 14289-1 (PDF/UA-1), an independent implementation.
    checked = pdf_ua.validate_pdf(path, profile=pdf_ua.ValidationProfile.PDF_UA_1)
    assert checked.is_compliant, checked.failures
    text = " ".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(made)).pages)
    assert all(f"Piece {number}," in text for number in range(70))
    assert "Okonkwo" not in text


@pytest.mark.parametrize("name", ["history", "history-pdf", "moving-pdf"])
def test_another_teachers_student_is_not_there(
    signed_in: Client, other_student: Student, name: str
) -> None:
    assert signed_in.get(reverse(f"reports:{name}", args=[other_student.pk])).status_code == 404


@pytest.mark.parametrize("name", ["history", "history-pdf", "moving-pdf"])
def test_a_student_of_whom_nothing_is_known(
    signed_in: Client, student: Student, name: str, django_assert_max_num_queries: Any
) -> None:
    with django_assert_max_num_queries(17):
        answer = signed_in.get(reverse(f"reports:{name}", args=[student.pk]))
    assert answer.status_code == 200


@pytest.mark.django_db(transaction=True)
def test_axe_finds_nothing(teacher_page: Page, student: Student) -> None:
    two_years(student)
    teacher_page.goto(reverse("reports:history", args=[student.pk]))
    assert_accessible(teacher_page)
