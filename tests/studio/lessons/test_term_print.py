import datetime as dt
import io
import tempfile
from pathlib import Path

import page as pdf_ua
import pypdf
import pytest
from django.test import Client
from django.urls import reverse

from studio.lessons import addresses, schedule
from studio.lessons.changes import When, move
from studio.models import Lesson, Student, Studio, Term
from tests.conftest import NOON
from tests.factories import (
    ClosureFactory,
    LessonFactory,
    SlotFactory,
    StudentFactory,
    TermFactory,
)

pytestmark = pytest.mark.usefixtures("frozen")
START = dt.date(2026, 9, 14)


@pytest.fixture
def term(studio: Studio) -> Term:
    ClosureFactory.create(studio=studio)
    return TermFactory.create(studio=studio)


def pdf(client: Client, name: str, *arguments: int) -> pypdf.PdfReader:
    response = client.get(reverse(f"lessons:{name}", args=arguments))
    assert response.status_code == 200
    assert response["Content-Type"] == "application/pdf"
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "printed.pdf"
        path.write_bytes(response.content)
        checked = pdf_ua.validate_pdf(path, profile=pdf_ua.ValidationProfile.PDF_UA_1)
    assert checked.is_compliant, checked.failures  # ISO 14289-1, an independent checker
    return pypdf.PdfReader(io.BytesIO(response.content))


def text(reader: pypdf.PdfReader) -> str:
    return " ".join(" ".join(page.extract_text() for page in reader.pages).split())


def filled(studio: Studio, term: Term, names: list[str], weekday: int = 2) -> list[Student]:
    students = []
    for number, name in enumerate(names):
        student = StudentFactory.create(family__studio=studio, given_name=name)
        minute = 9 * 60 + number * 30
        SlotFactory.create(
            studio=studio,
            students=[student],
            weekday=weekday,
            starts=dt.time(minute // 60, minute % 60),
        )
        students.append(student)
    schedule.fill(studio, [term], START)
    return students


def test_each_family_gets_one_page(signed_in: Client, studio: Studio, term: Term) -> None:
    students = filled(studio, term, ["Łucja", "Bảo", "Şebnem"])
    sister = StudentFactory.create(family=students[0].family, given_name="Zofia")
    LessonFactory.create(student=sister, date=dt.date(2026, 11, 27))
    addresses.renew_family(students[0].family, NOON)
    reader = pdf(signed_in, "families-pdf", term.pk)
    assert len(reader.pages) == 3
    words = text(reader)
    for part in ("Zofia, Łucja", "Bảo", "Şebnem", "Half-term", "16 Sep", "24 hours before"):
        assert part in words
    assert "Okonkwo" not in words


def test_one_family_alone_gets_its_own_page_however_long(
    signed_in: Client, studio: Studio, term: Term
) -> None:
    (student,) = filled(studio, term, ["Imani"])
    for number in range(40):
        day = START + dt.timedelta(days=2 * number)
        LessonFactory.create(student=student, date=day, starts=dt.time(18), place="Harbour School")
    reader = pdf(signed_in, "family-pdf", term.pk, student.family_id)
    assert len(reader.pages) == 1


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_sixty_students_and_their_changes_fit_on_one_page_for_the_wall(
    signed_in: Client, studio: Studio, term: Term, paper: str
) -> None:
    studio.paper = paper
    studio.save()
    for weekday in range(5):
        filled(studio, term, [f"Student{weekday}{n}" for n in range(12)], weekday)
    row = Lesson.objects.filter(date__gt=dt.date(2026, 11, 25)).first()
    assert row is not None
    move(row, When(dt.date(2026, 11, 28), dt.time(10)))
    reader = pdf(signed_in, "wall-pdf", term.pk)
    (page,) = reader.pages
    assert page.mediabox.width > page.mediabox.height
    words = text(reader)
    assert all(f"Student{weekday}{n}" in words for weekday in range(5) for n in range(12))
    assert "Otherwise than usual" in words
    assert "Sat 28 Nov" in words


def test_a_statement_is_printed(signed_in: Client, studio: Studio, term: Term) -> None:
    (student,) = filled(studio, term, ["Imani"])
    Lesson.objects.filter(date__lt=dt.date(2026, 11, 25)).update(status="kept")
    reader = pdf(signed_in, "statement-pdf", term.pk, student.family_id)
    words = text(reader)
    assert "12 lessons: 9 given, 3 still to come." in words
    assert "Okonkwo" not in words


def test_nothing_to_print_is_not_there(
    signed_in: Client, studio: Studio, student: Student, term: Term
) -> None:
    for name, arguments in [
        ("families-pdf", [term.pk]),
        ("family-pdf", [term.pk, student.family_id]),
        ("statement-pdf", [term.pk, student.family_id]),
    ]:
        assert signed_in.get(reverse(f"lessons:{name}", args=arguments)).status_code == 404
    assert studio.pk == student.family.studio_id


def test_without_the_printing_library_the_page_says_what_to_install(
    signed_in: Client, studio: Studio, term: Term, monkeypatch: pytest.MonkeyPatch
) -> None:
    from studio.lessons import term_print
    from studio.web.pdf import PrintingMissing

    filled(studio, term, ["Imani"])

    def missing(*_: object) -> bytes:
        raise PrintingMissing

    monkeypatch.setattr(term_print, "wall_pdf", missing)
    response = signed_in.get(reverse("lessons:wall-pdf", args=[term.pk]))
    assert response.status_code == 503
    assert "libpango" in response.content.decode()
