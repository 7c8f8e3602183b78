"""A scale book as PDF: its pages, its bounds, and what is another studio's."""

from __future__ import annotations

import io
import re
from pathlib import Path

import page as pdf_ua
import pytest
from django.test import Client
from pypdf import PdfReader
from pytest_django import DjangoAssertNumQueries

from practice.models import Bowing, Spot
from practice.music.keys import ALL_KEYS
from practice.printing.orders import Answer, Order
from practice.printing.pens import Pen
from practice.scalebook import apart
from studio.models import Student, Studio
from tests.conftest import FrozenClock
from tests.factories import PieceInHandFactory, ScaleInHandFactory, SpotFactory

STUDIO = "/repertoire/scale-book/"
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


@pytest.fixture
def spot(student: Student) -> Spot:
    piece = PieceInHandFactory.create(student=student)
    return SpotFactory.create(
        piece=piece, first_bar=3, last_bar=3, excerpt="M:3/4\nL:1/8\nK:G\nd2 (GA) (Bc)|"
    )


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
    assert "page 6 of 6" in pages[6]


def test_the_studios_book_names_nobody(signed_in: Client, url: str, studio: Studio) -> None:
    answer = signed_in.post(STUDIO, CHOSEN)
    pages = read(answer.content)
    assert len(pages) == 7
    assert studio.name in pages[0]
    assert "Filled: in this book." in pages[0]
    assert "25 November 2026" in pages[0]
    assert "Imani" not in "".join(pages)


@pytest.mark.parametrize("whose", ["student", "studio"])
def test_a_bowing_borrowed_from_a_spot_and_her_own_are_poured(
    signed_in: Client, url: str, studio: Studio, spot: Spot, whose: str
) -> None:
    own = Bowing.objects.create(studio=studio, name="rocking", pattern={"code": "2/4 (8 8) 8s 8s"})
    chosen = CHOSEN | {"bowings": [f"spot:{spot.pk}", f"own:{own.pk}"], "arpeggios": []}
    pages = read(signed_in.post(url if whose == "student" else STUDIO, chosen).content)
    assert len(pages) == 7
    assert "Bowing: long, two, two" in pages[2]
    assert f"Borrowed from {spot.piece.work}, bar 3." in pages[2]
    assert "Bowing: rocking" in pages[3]


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_every_idea_is_one_page_and_readable_by_a_screen_reader(
    signed_in: Client, url: str, studio: Studio, paper: str, tmp_path: Path
) -> None:
    """Tremolo over three octaves is the longest exercise of the list."""
    type(studio).objects.update(paper={"a4": "A4", "letter": "Letter"}[paper])
    kinds = ["tonic", "relative", "parallel", "dominant7", "diminished7"]
    chosen = {"keys": ["C sharp minor"], "octaves": "3", "bowings": ["tremolo", "slur16"]}
    path = tmp_path / "book.pdf"
    path.write_bytes(signed_in.post(STUDIO, CHOSEN | chosen | {"arpeggios": kinds}).content)
    pages = PdfReader(path).pages
    assert len(pages) == 9
    assert round(float(pages[0].mediabox.width)) == {"a4": 842, "letter": 792}[paper]
    assert pdf_ua.validate_pdf(path, profile=pdf_ua.ValidationProfile.PDF_UA_1).is_compliant


def test_the_page_begins_with_what_is_in_hand(signed_in: Client, url: str, studio: Studio) -> None:
    Bowing.objects.create(studio=studio, name="rocking", pattern={"code": "2/4 (8 8) 4"})
    html = signed_in.get(url).content.decode()
    assert re.search(r'value="G major"[^>]*checked', html)
    assert not re.search(r'value="C major"[^>]*checked', html)
    assert "rocking" in html


def test_the_studios_page_begins_with_the_keys_in_hand(
    signed_in: Client, url: str, other_student: Student
) -> None:
    ScaleInHandFactory.create(student=other_student, key="B flat major")
    html = signed_in.get(STUDIO).content.decode()
    assert re.search(r'value="G major"[^>]*checked', html)
    assert not re.search(r'value="C major"[^>]*checked', html)
    assert not re.search(r'value="B flat major"[^>]*checked', html)


def test_the_same_bowing_of_two_spots_is_offered_once(signed_in: Client, spot: Spot) -> None:
    SpotFactory.create(piece=spot.piece, first_bar=9, last_bar=9, excerpt=spot.excerpt)
    html = signed_in.get(STUDIO).content.decode()
    assert html.count("<b>long, two, two</b>") == 1


def test_the_studios_page_asks_the_database_the_same_few_times(
    signed_in: Client, spot: Spot, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    signed_in.get(STUDIO)
    with django_assert_num_queries(5):
        signed_in.get(STUDIO)


@pytest.mark.parametrize("path", ["student", "studio"])
def test_too_many_pages_and_no_keys_are_told(signed_in: Client, url: str, path: str) -> None:
    url = url if path == "student" else STUDIO
    answer = signed_in.post(url, {**CHOSEN, "keys": []})
    assert answer.status_code == 422
    assert "Keys is missing." in answer.content.decode()
    five = ["tonic", "relative", "parallel", "dominant7", "diminished7"]
    answer = signed_in.post(url, {**CHOSEN, "every_key": "on", "arpeggios": five})
    assert answer.status_code == 422
    assert "That makes 210 pages; a book has at most 150." in answer.content.decode()


@pytest.mark.parametrize("field", ["keys", "bowings", "arpeggios", "octaves"])
def test_a_choice_that_does_not_exist_is_told(signed_in: Client, url: str, field: str) -> None:
    answer = signed_in.post(url, {**CHOSEN, field: ["H major"]})
    assert answer.status_code == 422
    assert "H major" in answer.content.decode()


def test_the_bowings_of_another_studio_cannot_be_chosen(
    signed_in: Client, url: str, other_student: Student
) -> None:
    piece = PieceInHandFactory.create(student=other_student)
    theirs = SpotFactory.create(piece=piece, excerpt="M:3/4\nL:1/8\nK:G\nd2 (GA) (Bc)|")
    own = Bowing.objects.create(
        studio=other_student.family.studio, name="Gondola sway", pattern={"code": "2/4 (8 8) 8s 8s"}
    )
    for bowing in (f"spot:{theirs.pk}", f"own:{own.pk}"):
        assert signed_in.post(STUDIO, CHOSEN | {"bowings": [bowing]}).status_code == 422
    assert "Gondola" not in signed_in.get(STUDIO).content.decode()


def test_another_studios_student_is_not_there(signed_in: Client, other_student: Student) -> None:
    assert signed_in.post(f"/students/{other_student.pk}/scale-book/", CHOSEN).status_code == 404


def test_a_long_book_is_drawn_by_a_process_of_its_own(signed_in: Client, url: str) -> None:
    """28 pages, after the overview."""
    keys = [key.name for key in ALL_KEYS[4:11]]
    answer = signed_in.post(STUDIO, CHOSEN | {"keys": keys, "arpeggios": ["tonic", "dominant7"]})
    assert answer.headers["Content-Type"] == "application/pdf"
    assert len(read(answer.content)) == 29


def test_only_one_long_book_is_made_at_a_time(
    signed_in: Client, url: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(apart, "AT_ONCE", 1)
    with apart._ONE:
        answer = signed_in.post(STUDIO, CHOSEN)
    assert answer.status_code == 422
    assert "Another book is being made." in answer.content.decode()


def test_a_book_that_takes_too_long_is_given_up_and_told(
    signed_in: Client, url: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(_: Pen, order: Order) -> Answer:
        return Answer(order.key, "The page could not be drawn: the drawing broke off.")

    monkeypatch.setattr(apart, "AT_ONCE", 1)
    monkeypatch.setattr(Pen, "draw", broken)
    html = signed_in.post(STUDIO, CHOSEN).content.decode()
    assert "the drawing broke off. Choose fewer keys or bowings" in html
    assert re.search(r'value="G major"[^>]*checked', html)
    assert not apart._ONE.locked()
