"""Fingers over the scale in hand: shown, written, kept, told when they cannot be played."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client

from practice.models import ScaleInHand
from practice.music.how import fingered, run_of
from practice.music.keys import parse_key
from practice.music.shifts import explain_shifts
from studio.models import Student
from tests.factories import ScaleInHandFactory
from tests.pages.filled import filled


@pytest.fixture
def scale(student: Student) -> ScaleInHand:
    return ScaleInHandFactory.create(student=student, octaves=3)


def url(student: Student) -> str:
    return f"/students/{student.pk}/scale/fingers/"


def form_of(client: Client, student: Student, **written: str) -> dict[str, Any]:
    """The page as shown, with more written over some notes."""
    found: dict[str, Any] = dict(filled(client.get(url(student)).content, "fingering"))
    return found | {name.replace("note_", "note-"): value for name, value in written.items()}


def test_the_whole_way_is_engraved_and_every_shift_told(
    signed_in: Client, student: Student, scale: ScaleInHand
) -> None:
    page = signed_in.get(url(student)).content.decode()
    assert "/engraved/scale/G-major/major/3.svg?down=1" in page
    assert page.count('name="note-') == 43
    notes = run_of(parse_key("G major"), "major", 3).there_and_back
    told = explain_shifts(notes, fingered(parse_key("G major"), "major", 3))
    assert len(told) >= 2
    assert all(shift.reason in page for shift in told)


def test_without_a_scale_there_are_no_fingers(signed_in: Client, student: Student) -> None:
    assert signed_in.get(url(student)).status_code == 404


def test_a_change_is_shown_and_not_kept(
    signed_in: Client, student: Student, scale: ScaleInHand
) -> None:
    data = form_of(signed_in, student, note_4="4G")
    part = signed_in.post(url(student), data, headers={"HX-Request": "true"})
    html = part.content.decode()
    assert part.status_code == 200
    assert "f=4.4G" in html
    assert "<form" not in html
    assert "Not kept yet." in html
    scale.refresh_from_db()
    assert scale.fingers == ""


def test_fingers_over_three_octaves_are_kept_and_stand_in_the_fields(
    signed_in: Client, student: Student, scale: ScaleInHand
) -> None:
    data = form_of(signed_in, student, note_4="4 g", note_38="3", note_18="D", press="keep")
    assert signed_in.post(url(student), data).status_code == 302
    scale.refresh_from_db()
    assert scale.fingers == "4.4G-18.D-38.3"
    again = form_of(signed_in, student)
    assert (again["note-4"], again["note-18"]) == (["4G"], ["D"])


def test_open_strings_and_highest_position_are_kept(
    signed_in: Client, student: Student, scale: ScaleInHand
) -> None:
    scale.octaves = 1
    scale.save()
    data = form_of(signed_in, student, open_strings="avoid", highest="3", press="keep")
    signed_in.post(url(student), data)
    scale.refresh_from_db()
    assert (scale.open_strings, scale.highest_position) == ("avoid", 3)
    assert "open=avoid" in signed_in.get(url(student)).content.decode()


@pytest.mark.parametrize(
    ("note", "typed", "sentence"),
    [
        (0, "4", "G 3 cannot be played with finger 4."),
        (0, "0E", "G 3 cannot be played as an open string on the E string."),
        (4, "5", "“5” is no finger."),
        (8, "xyz", "“xyz” is no finger."),
        (8, "4" * 40, "40 characters are too many; at most 12 fit."),
    ],
)
def test_what_cannot_be_played_is_told_and_stays_in_the_form(
    signed_in: Client, student: Student, scale: ScaleInHand, note: int, typed: str, sentence: str
) -> None:
    data = form_of(signed_in, student, **{f"note_{note}": typed}, note_2="2", press="keep")
    answer = signed_in.post(url(student), data)
    html = answer.content.decode()
    assert answer.status_code == 422
    assert sentence in html
    kept = filled(answer.content, "fingering")
    assert (kept[f"note-{note}"], kept["note-2"]) == ([typed], ["2"])
    scale.refresh_from_db()
    assert scale.fingers == ""


def test_all_by_the_program_empties_the_fields_and_keeps_nothing_yet(
    signed_in: Client, student: Student, scale: ScaleInHand
) -> None:
    scale.fingers = "4.4G"
    scale.save()
    answer = signed_in.post(url(student), form_of(signed_in, student, press="clear"))
    assert filled(answer.content, "fingering")["note-4"] == [""]
    scale.refresh_from_db()
    assert scale.fingers == "4.4G"


def test_as_many_queries_for_one_octave_as_for_three(
    signed_in: Client, student: Student, scale: ScaleInHand, django_assert_max_num_queries: object
) -> None:
    signed_in.get(url(student))
    with django_assert_max_num_queries(7):  # type: ignore[operator]
        signed_in.get(url(student))
