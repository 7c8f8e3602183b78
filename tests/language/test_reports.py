"""Reports, a student's years and the studio's year in German, on screen and on paper."""

from __future__ import annotations

import datetime as dt
import io
from typing import TYPE_CHECKING

import pypdf
import pytest
from django.test import Client
from django.urls import reverse
from django.utils import translation

from practice.figures.evidence import TempoPoint, tempo_evidence
from practice.figures.hours_chart import in_hours
from practice.figures.lesson_fates import LessonFate
from practice.figures.term_weeks import Into
from practice.models import LessonNote, PieceInHand, Report
from practice.reports.data import ReportData, hours
from practice.reports.editions import as_given
from practice.reports.render import report_pdf
from practice.reports.starters import starters
from studio.language import LETTERS, naming
from tests import factories
from tests.factories import DAY
from tests.language.leftover import left_in_english
from tests.practice.reports.material import STARTS, played, report_data

if TYPE_CHECKING:
    from studio.models import Student, Studio, Term

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("frozen")]


@pytest.fixture
def term(studio: Studio, student: Student) -> Term:
    """With lessons, practice, a spot's tempos, a key and a note."""
    made: Term = factories.TermFactory.create(studio=studio, name="Herbst")
    scale = {"since": STARTS, "key": "B minor", "form": "harmonic"}
    factories.ScaleInHandFactory.create(student=student, **scale)
    spot = factories.SpotFactory.create(piece__student=student)
    factories.PieceInHandFactory.create(
        student=student, stage=PieceInHand.Stage.FINISHED, started=STARTS, finished=DAY
    )
    for week, status in enumerate(["kept", "kept", "missed"]):
        date = STARTS + dt.timedelta(weeks=week)
        played(student, date, "scale", 10, 12)
        played(student, date, "spot", 8, 8, tempo=50 + 4 * week, spot=spot)
        lesson = factories.LessonFactory.create(student=student, date=date, status=status)
        LessonNote.objects.create(lesson=lesson, text="Daumen locker.")
    return made


def address(name: str, term: Term, student: Student) -> str:
    return reverse(f"reports:{name}", args=[term.pk, student.pk])


def paper(data: ReportData) -> str:
    pages = pypdf.PdfReader(io.BytesIO(report_pdf(data))).pages
    return " ".join(" ".join(page.extract_text() for page in pages).split())


@pytest.mark.parametrize(
    "where",
    [
        "/reports/",
        "/reports/{term}/{student}/",
        "/reports/year/",
        "/reports/year/calendar/2026/",
        "/students/{student}/history/",
    ],
)
def test_no_sentence_stays_english(
    german: Client, term: Term, student: Student, where: str
) -> None:
    answer = german.get(where.format(term=term.pk, student=student.pk))
    assert answer.status_code == 200
    assert left_in_english(answer.content.decode()) == set()


def test_words_of_the_charts_are_german(german: Client, term: Term, student: Student) -> None:
    page = german.get(address("report", term, student)).content.decode()
    assert "Woche 1, 20 von 18; Woche 2, 20 von 18;" in page
    assert "Tonleiter 36, Etüde 0" in page
    assert "2 gehalten, 1 versäumt" in page
    assert "Gelernte Tonarten: noch keine. Jetzt: h-Moll." in page


def test_what_was_given_in_german_stays_german(
    german: Client, studio: Studio, term: Term, student: Student
) -> None:
    german.post(address("give", term, student), {"words": "Sie hört zu."})
    studio.locale = "en"
    studio.save()
    frozen = as_given(Report.objects.get())
    reading = german.get(reverse("reports:edition-pdf", args=[term.pk, student.pk, 1])).content
    text = " ".join(pypdf.PdfReader(io.BytesIO(reading)).pages[0].extract_text().split())
    assert frozen.scale == "h-Moll, 2 Oktaven"
    assert "Bericht für Imani" in text
    assert "Gezählt bis zum 25. November 2026." in text


def test_notes_of_a_given_report_are_called_as_they_were_then() -> None:
    """However they are called by whoever prints it."""
    with naming(LETTERS):
        assert "Gelernt: G-Dur, e-Moll." in paper(report_data(language="de"))
    flat = report_data(language="de", note_names=LETTERS, keys=report_data().keys[:0])
    assert "Fis" not in paper(flat)
    assert "Fis" in paper(report_data(language="de"))


def test_first_sentences_have_singular_and_plural() -> None:
    data = report_data(lessons=(LessonFate.KEPT, LessonFate.MISSED))
    with translation.override("de"):
        said = {each.key: each.text for each in starters(data)}
        one = starters(report_data(lessons=(LessonFate.MISSED,)))[0].text
    assert said["lessons"] == "Von 2 Stunden in diesem Abschnitt: 1 gehalten, 1 versäumt."
    assert one == "Von 1 Stunde in diesem Abschnitt: 1 versäumt."
    assert said["keys"] == "Imani hat G-Dur und e-Moll gelernt und ist jetzt in C-Dur."


def test_tenths_stand_after_a_comma() -> None:
    tempos = [TempoPoint(DAY - dt.timedelta(days=3 * n), 76 - 2 * n) for n in range(9)]
    with translation.override("de"):
        assert [in_hours(minutes) for minutes in (450, 600, 45)] == ["7,5", "10", "0,8"]
        assert "+4,7 pro Woche" in tempo_evidence(tempos, 96, DAY).words
        assert hours(125) == "2 Std. 5 Min."
        assert Into.REST.label == "Lieblingsstück, Entdecken, Sonstiges"
