"""Two windows on one Bench: the later save is told what changed, and nothing is lost."""

from __future__ import annotations

import pytest
from django.test import Client

from practice.models import Assignment
from studio.models import Student
from tests import factories
from tests.pages.filled import filled
from tests.pages.test_bench import form_of, post
from tests.pages.test_bench_bad_input import two_pieces  # noqa: F401

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("frozen")]


@pytest.fixture
def student(two_pieces: Student) -> Student:  # noqa: F811
    return two_pieces


def spot_field(student: Student, name: str) -> str:
    return f"spot-{student.pieces.get(place=1).spots.get().pk}-{name}"


def test_the_later_save_is_told_what_changed(signed_in: Client, student: Student) -> None:
    late = form_of(signed_in, student, listen_for="Hers.")
    early = form_of(signed_in, student, minutes_1="45")
    early |= {spot_field(student, "now"): "72", "scale-move": "C major"}
    assert post(signed_in, "bench-save", student, early).status_code == 302
    answer = post(signed_in, "bench-save", student, late)
    page = answer.content.decode()
    assert answer.status_code == 409
    assert "Scale: was “G major, two octaves”, is now “C major, two octaves”." in page
    assert "Tempo now in bar 3: was “60”, is now “72”." in page
    assert "Minutes on Friday: was “20”, is now “45”." in page
    assert Assignment.objects.get().listen_for == ""


def test_what_she_wrote_stays_and_what_she_left_alone_catches_up(
    signed_in: Client, student: Student
) -> None:
    late = form_of(signed_in, student, listen_for="Hers.")
    early = form_of(signed_in, student, listen_for="Theirs.", minutes_1="45")
    post(signed_in, "bench-save", student, early)
    page = post(signed_in, "bench-save", student, late).content
    values = filled(page, "bench")
    assert values["listen_for"] == ["Hers."]
    assert values["minutes_1"] == ["45"]


def test_saving_again_counts(signed_in: Client, student: Student) -> None:
    late = form_of(signed_in, student, listen_for="Hers.")
    post(signed_in, "bench-save", student, form_of(signed_in, student, listen_for="Theirs."))
    page = post(signed_in, "bench-save", student, late).content
    answer = post(signed_in, "bench-save", student, dict(filled(page, "bench")))
    assert answer.status_code == 302
    assignment = Assignment.objects.get()
    assert (assignment.listen_for, assignment.revision) == ("Hers.", 2)


def test_the_same_change_in_both_windows_is_no_conflict(
    signed_in: Client, student: Student
) -> None:
    late = form_of(signed_in, student, minutes_1="45", to_check="thumb")
    post(signed_in, "bench-save", student, form_of(signed_in, student, minutes_1="45"))
    assert post(signed_in, "bench-save", student, late).status_code == 302


def test_a_piece_that_left_meanwhile_is_told(signed_in: Client, student: Student) -> None:
    late = form_of(signed_in, student)
    piece = student.pieces.get(place=2)
    early = form_of(signed_in, student) | {f"piece-{piece.pk}-stage": "finished"}
    post(signed_in, "bench-save", student, early)
    answer = post(signed_in, "bench-print", student, late)
    assert answer.status_code == 409
    assert "Tram No. Nine: “working up” is gone." in answer.content.decode()


def test_moving_on_twice_moves_one_key_on(signed_in: Client, student: Student) -> None:
    """Both windows move on from G; the second is told, and keeps C instead of going to F."""
    late = form_of(signed_in, student) | {"scale-move": "C major"}
    early = form_of(signed_in, student) | {"scale-move": "C major"}
    post(signed_in, "bench-save", student, early)
    page = post(signed_in, "bench-save", student, late).content
    assert filled(page, "bench")["scale-move"] == ["keep"]
    post(signed_in, "bench-save", student, dict(filled(page, "bench")))
    assert student.scales.get(until=None).key == "C major"


def test_going_back_in_the_browser_and_saving_again_adds_no_second_spot(
    signed_in: Client, student: Student
) -> None:
    piece = student.pieces.get(place=2)
    data = form_of(signed_in, student)
    data |= {f"new-{piece.pk}-1-bars": "5", f"new-{piece.pk}-1-what": "long, tiny"}
    post(signed_in, "bench-save", student, data)
    page = post(signed_in, "bench-save", student, data).content
    again = dict(filled(page, "bench"))
    assert post(signed_in, "bench-save", student, again).status_code == 302
    assert piece.spots.count() == 1


def test_a_change_made_on_another_page_is_told_too(signed_in: Client, student: Student) -> None:
    late = form_of(signed_in, student)
    student.scales.update(key="D major")
    factories.SpotFactory.create(piece=student.pieces.get(place=1), first_bar=21)
    answer = post(signed_in, "bench-save", student, late)
    page = answer.content.decode()
    assert answer.status_code == 409
    assert "is now “D major, two octaves”" in page
    assert "Minuet in G, bar 21: “in hand” is new." in page
