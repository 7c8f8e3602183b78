"""Recitals in German: their pages, the order's sentences, and the programme on paper."""

from __future__ import annotations

import datetime as dt
import io
from typing import TYPE_CHECKING

import pypdf
import pytest
from django.test import Client
from django.utils import translation

from practice.models import PieceInHand
from practice.programme.timing import Timetable, told
from practice.recitals.order import put_interval
from practice.recitals.pieces import settle
from practice.recitals.printing import programme_pdf, thanks_pdf
from practice.recitals.thanking import thanked
from tests import factories
from tests.factories import DAY
from tests.language.leftover import left_in_english

if TYPE_CHECKING:
    from practice.models import Programme
    from studio.models import Student, Studio

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("frozen")]


@pytest.fixture
def programme(german_studio: Studio, student: Student) -> Programme:
    """Two slow pieces in a row, one of them by two players, and the accompanist."""
    made: Programme = factories.ProgrammeFactory.create(
        recital__studio=german_studio,
        recital__name="Winterklänge",
        recital__place="Alte Schule",
        accompanist="Oisín",
    )
    sister = factories.StudentFactory.create(family=student.family, given_name="Zola")
    factories.PerformanceFactory.create(
        programme=made, student=student, character="slow", place=1, with_piano=True
    )
    factories.PerformanceFactory.create(
        programme=made, student=sister, partner=student, character="slow", place=2
    )
    stage = {"stage": PieceInHand.Stage.FINISHED, "started": DAY, "finished": DAY}
    factories.PieceInHandFactory.create(student=student, **stage)
    settle(made)
    return made


@pytest.mark.parametrize(
    "where",
    ["", "add/", "{it}/", "{it}/change/", "{it}/choose/", "{it}/lengths/", "{it}/thanks/"]
    + ["{it}/pieces/{piece}/"],
)
def test_no_sentence_stays_english(german: Client, programme: Programme, where: str) -> None:
    piece = programme.performances.order_by("place")[0].pk
    answer = german.get("/recitals/" + where.format(it=programme.recital_id, piece=piece))
    assert answer.status_code == 200
    assert left_in_english(answer.content.decode()) == set()


def test_what_bends_is_told_in_german(german: Client, programme: Programme) -> None:
    page = german.get(f"/recitals/{programme.recital_id}/").content.decode()
    assert "sind beide langsam und folgen aufeinander." in page
    assert "Imani und Zola" in page or "Zola und Imani" in page
    assert "2 Stücke, 2 Spieler:innen, 40 Sekunden zwischen zwei Stücken." in page
    assert "Höchstens 3 Stücke mit Klavier hintereinander, damit Oisín Pausen hat." in page


def test_a_wrong_length_is_told_in_german(german: Client, programme: Programme) -> None:
    piece = programme.performances.order_by("place")[0].pk
    where = f"/recitals/{programme.recital_id}/pieces/{piece}/"
    page = german.post(where, {"seconds": "lang", "character": "slow"}).content.decode()
    assert "„lang“ ist keine Dauer. Schreiben Sie Minuten und Sekunden: 2:30." in page


@pytest.mark.parametrize(
    ("seconds", "wished", "words"),
    [
        (60, 5, "1 Minute insgesamt, 4 weniger als die gewünschten 5."),
        (600, 5, "10 Minuten insgesamt, 5 mehr als die gewünschten 5."),
        (600, 10, "10 Minuten insgesamt, genau wie gewünscht."),
    ],
)
def test_the_time_is_told_in_german(seconds: int, wished: int, words: str) -> None:
    with translation.override("de"):
        assert told(Timetable((), None, seconds), wished) == words


def test_paper_is_german_whoever_prints(programme: Programme) -> None:
    programme.recital.date = dt.date(2026, 12, 5)
    put_interval(programme, 1)
    pdfs = programme_pdf(programme), thanks_pdf(programme, thanked(programme)[:1])
    sheets = [pypdf.PdfReader(io.BytesIO(pdf)).pages[0].extract_text() for pdf in pdfs]
    order, thanks = (" ".join(sheet.split()) for sheet in sheets)
    assert "Samstag, 5. Dezember 2026" in order
    assert "Pause 15 Minuten" in order
    assert "Am Klavier: Oisín" in order
    assert "Danke, Imani" in thanks
    assert "fürs Vorspielen" in thanks
