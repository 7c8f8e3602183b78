"""What cannot be is refused with a sentence, and everything typed is kept."""

from __future__ import annotations

from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from practice.models import Assignment
from studio.models import Student
from tests import factories
from tests.factories import DAY
from tests.pages.filled import filled
from tests.pages.test_bench import form_of, page_of, pdf_text, post

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("frozen")]


@pytest.fixture
def two_pieces(student: Student) -> Student:
    factories.LessonFactory.create(student=student, date=DAY)
    factories.ScaleInHandFactory.create(student=student)
    piece = factories.PieceInHandFactory.create(student=student)
    factories.SpotFactory.create(piece=piece)
    tram = factories.WorkFactory.create(title="Tram No. Nine")
    factories.PieceInHandFactory.create(student=student, place=2, work=tram)
    return student


def refused(client: Client, student: Student, changes: dict[str, Any]) -> str:
    data = form_of(client, student, listen_for="Words that stay.") | changes
    answer = post(client, "bench-save", student, data)
    page: str = answer.content.decode()
    assert answer.status_code == 422
    assert "Nothing is saved yet." in page
    assert filled(page, "bench")["listen_for"] == ["Words that stay."]
    assert not Assignment.objects.exists()
    return page


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"minutes_0": "900"}, "900 is too much; at most 600."),
        ({"minutes_0": "-3"}, "-3 is too little; at least 0."),
        ({"minutes_0": "lots"}, "“lots” is not a whole number."),
        ({"scale-move": "other", "scale-key": "H major"}, "“H major” is not a key."),
        ({"scale-move": "other", "scale-key": ""}, "Choose the key to move on to."),
        ({"scale-move": "G sharp major"}, "write A flat major instead."),
        ({"scale-bowings": ["slur2", "slur3", "slur4"]}, "a scale takes one or two at a time"),
        ({"scale-bowings": ["nonsense"]}, "“nonsense” is not a bowing."),
        ({"etude-move": "999999"}, "“999999” is no etude; choose again."),
        ({"listen_for": "x" * 300, "to_check": "y"}, "300 characters are too many; at most 240"),
    ],
)
def test_what_cannot_be_is_named(
    signed_in: Client, two_pieces: Student, changes: dict[str, Any], sentence: str
) -> None:
    data = form_of(signed_in, two_pieces) | changes
    answer = post(signed_in, "bench-save", two_pieces, data)
    assert answer.status_code == 422
    assert sentence in answer.content.decode()
    assert not Assignment.objects.exists()


def test_a_third_piece_is_refused_by_name(signed_in: Client, two_pieces: Student) -> None:
    work = factories.WorkFactory.create(title="Gavotte")
    page = refused(signed_in, two_pieces, {"new-piece-work": str(work.pk)})
    assert "Two pieces are in hand, Minuet in G and Tram No. Nine." in page


def test_a_tempo_wanted_below_the_tempo_now_is_refused(
    signed_in: Client, two_pieces: Student
) -> None:
    spot = two_pieces.pieces.get(place=1).spots.get()
    page = refused(signed_in, two_pieces, {f"spot-{spot.pk}-wanted": "50"})
    assert "The tempo wanted, 50, lies below the tempo now, 60." in page


def test_bars_that_are_no_numbers_are_refused(signed_in: Client, two_pieces: Student) -> None:
    piece = two_pieces.pieces.get(place=1)
    changes = {f"new-{piece.pk}-1-bars": "seven", f"new-{piece.pk}-1-what": "late"}
    assert "“seven” are no bars." in refused(signed_in, two_pieces, changes)


def test_an_upload_is_refused(signed_in: Client, two_pieces: Student) -> None:
    file = SimpleUploadedFile("song.pdf", b"x")
    page = refused(signed_in, two_pieces, {"listen_for": "Words that stay.", "file": file})
    assert "“song.pdf” was not taken" in page


def test_a_day_too_short_for_its_parts_is_named(signed_in: Client, two_pieces: Student) -> None:
    data = form_of(signed_in, two_pieces, minutes_0="1")
    page = post(signed_in, "bench-preview", two_pieces, data).content.decode()
    assert "Thursday has 1 minute, too few for warm-up and scale: no scale that day." in page


def test_an_empty_week_is_allowed_and_said(signed_in: Client, two_pieces: Student) -> None:
    data = form_of(signed_in, two_pieces) | {f"minutes_{n}": "" for n in range(7)}
    page = post(signed_in, "bench-preview", two_pieces, data).content.decode()
    assert "The week has no practice day: every day is off or has 0 minutes." in page
    assert post(signed_in, "bench-save", two_pieces, data).status_code == 302


@pytest.mark.parametrize(
    "name",
    ["<script>alert(1)</script>", "ליאור", "Nguyễn Bảo", "Łucja 🎻", "x" * 80, "{{ name }}"],
)
def test_odd_names_are_shown_and_printed(signed_in: Client, two_pieces: Student, name: str) -> None:
    two_pieces.given_name = name
    two_pieces.save()
    page = page_of(signed_in, two_pieces).content.decode()
    assert "<script>alert" not in page
    answer = post(signed_in, "bench-print", two_pieces, form_of(signed_in, two_pieces))
    pdf = signed_in.get(answer.url)
    assert pdf.status_code == 200
    text = pdf_text(pdf.content)
    assert len(text) > 200
    if name.isascii() and len(name) < 40:
        assert name in text
