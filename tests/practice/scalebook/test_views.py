"""A scale book as PDF: its pages, its bounds, and another studio's student."""

from __future__ import annotations

import io
import re
from pathlib import Path

import page as pdf_ua
import pytest
from django.test import Client
from pypdf import PdfReader

from practice.models import Bowing
from practice.scalebook.book import Wish, book_of
from practice.scalebook.views import circle_words
from studio.models import Student, Studio
from tests.conftest import FrozenClock
from tests.factories import ScaleInHandFactory

CHOSEN = {
    "keys": ["G major", "E minor"],
    "octaves": "2",
    "minor_form": "melodic",
    "bowings": ["slur2"],
    "arpeggios": ["tonic"],
}


@pytest.fixture
def url(student: Student, frozen: FrozenClock) -> str:
    ScaleInHandFactory.create(student=student, key="G major")
    ScaleInHandFactory.create(
        student=student, key="C major", since="2026-09-01", until="2026-11-01"
    )
    return f"/students/{student.pk}/scale-book/"


def read(content: bytes) -> list[str]:
    return [page.extract_text() for page in PdfReader(io.BytesIO(content)).pages]


def test_one_idea_a_page_after_the_overview(signed_in: Client, url: str) -> None:
    answer = signed_in.post(url, CHOSEN)
    assert answer.headers["Content-Type"] == "application/pdf"
    pages = read(answer.content)
    assert len(pages) == 7
    assert "Imani’s scale book" in pages[0]
    assert "25 November 2026" in pages[0]
    assert "Okonkwo" not in "".join(pages)
    assert "G major" in pages[1]
    assert "Bowing: two in a bow" in pages[2]
    assert "E minor" in pages[4]
    assert "Arpeggio, on the tonic" in pages[6]


def test_it_is_readable_by_a_screen_reader(signed_in: Client, url: str, tmp_path: Path) -> None:
    path = tmp_path / "book.pdf"
    path.write_bytes(signed_in.post(url, CHOSEN).content)
    checked = pdf_ua.validate_pdf(path, profile=pdf_ua.ValidationProfile.PDF_UA_1)
    assert checked.is_compliant


def test_the_circle_says_what_it_shows(student: Student, url: str) -> None:
    wish = Wish(("G major",), 1, "melodic", (), ())
    words = circle_words(book_of(student, wish))
    assert words == "The circle of fifths: now G major; learnt C major."


def test_the_page_begins_with_what_is_in_hand(signed_in: Client, url: str, studio: Studio) -> None:
    Bowing.objects.create(studio=studio, name="rocking", pattern={"code": "2/4 (8 8) 4"})
    html = signed_in.get(url).content.decode()
    assert re.search(r'value="G major"[^>]*checked', html)
    assert not re.search(r'value="C major"[^>]*checked', html)
    assert "rocking" in html


def test_too_many_pages_and_no_keys_are_told(signed_in: Client, url: str) -> None:
    answer = signed_in.post(url, {**CHOSEN, "keys": []})
    assert answer.status_code == 422
    assert "Keys is missing." in answer.content.decode()
    every = [choice for choice, _ in answer.context["form"].fields["keys"].choices]
    answer = signed_in.post(url, {**CHOSEN, "keys": every})
    assert answer.status_code == 422
    assert "That makes 90 pages" in answer.content.decode()


def test_a_key_that_does_not_exist_is_told(signed_in: Client, url: str) -> None:
    answer = signed_in.post(url, {**CHOSEN, "keys": ["H major"]})
    assert answer.status_code == 422
    assert "H major" in answer.content.decode()


def test_another_studios_student_is_not_there(signed_in: Client, other_student: Student) -> None:
    assert signed_in.post(f"/students/{other_student.pk}/scale-book/", CHOSEN).status_code == 404
