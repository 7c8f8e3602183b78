"""Making, keeping, changing and removing an own bowing; the Bench offers it."""

from __future__ import annotations

import pytest
from django.test import Client

from practice.bench.cards import cards_of
from practice.models import Bowing
from practice.plans.hand import hand_of
from studio.models import Student, Studio
from tests.factories import ScaleInHandFactory

NOTES = {"metre": "3/4", "n0-value": "4", "n1-value": "8", "n1-slurred": "on", "n2-value": "8"}
NOTES |= {"n3-value": "4"}


@pytest.fixture
def own(studio: Studio) -> Bowing:
    return Bowing.objects.create(studio=studio, name="rocking", pattern={"code": "2/4 (8 8) 4"})


def test_a_press_engraves_and_keeps_nothing(signed_in: Client) -> None:
    answer = signed_in.post("/bowings/make/", {**NOTES, "press": "add:4"})
    html = answer.content.decode()
    assert answer.status_code == 200
    assert "/engraved/bowing/G-major/major/1/3-4_4_(8_8)_4_4.svg" in html
    assert 'name="n4-value" value="4"' in html
    assert not Bowing.objects.exists()


def test_what_is_kept_is_on_the_bench(signed_in: Client, student: Student) -> None:
    ScaleInHandFactory.create(student=student)
    answer = signed_in.post("/bowings/make/", {**NOTES, "name": "sway", "press": "keep"})
    assert answer.headers["Location"] == "/bowings/"
    row = Bowing.objects.get()
    assert (row.name, row.pattern["code"]) == ("sway", "3/4 4 (8 8) 4")
    cards = {card.id: card for card in cards_of(student, hand_of(student)).offered}
    assert (cards[f"own:{row.pk}"].name, cards[f"own:{row.pk}"].source) == ("sway", "your own")
    assert "sway" in signed_in.get("/bowings/").content.decode()


def test_without_a_name_it_is_called_by_its_strokes(signed_in: Client) -> None:
    signed_in.post("/bowings/make/", {**NOTES, "press": "keep"})
    assert Bowing.objects.get().name == "long, two, long"


@pytest.mark.parametrize(
    ("data", "words"),
    [
        ({}, "no notes yet"),
        ({"n0-value": "r4"}, "this one has 0"),
        ({**NOTES, "name": "x" * 61}, "60"),
    ],
)
def test_what_cannot_be_kept_is_told(signed_in: Client, data: dict[str, str], words: str) -> None:
    answer = signed_in.post("/bowings/make/", {**data, "press": "keep"})
    assert answer.status_code == 422
    assert words in answer.content.decode()
    assert not Bowing.objects.exists()


def test_a_kept_bowing_comes_back_as_it_was_and_is_changed(signed_in: Client, own: Bowing) -> None:
    html = signed_in.get(f"/bowings/{own.pk}/edit/").content.decode()
    assert 'name="n0-slurred" checked' in html
    assert 'value="rocking"' in html
    signed_in.post(f"/bowings/{own.pk}/edit/", {"n0-value": "4", "name": "plain", "press": "keep"})
    own.refresh_from_db()
    assert (own.name, own.pattern["code"]) == ("plain", "2/4 4")


def test_one_that_is_on_a_scale_stays(signed_in: Client, own: Bowing, student: Student) -> None:
    scale = ScaleInHandFactory.create(student=student, bowing_2=f"own:{own.pk}")
    signed_in.post(f"/bowings/{own.pk}/remove/")
    assert Bowing.objects.exists()
    scale.until = scale.since
    scale.save()
    signed_in.post(f"/bowings/{own.pk}/remove/")
    assert not Bowing.objects.exists()


def test_another_studios_bowing_is_not_there(signed_in: Client, other_studio: Studio) -> None:
    theirs = Bowing.objects.create(studio=other_studio, name="secret", pattern={"code": "2/4 8 8"})
    assert "secret" not in signed_in.get("/bowings/").content.decode()
    for url in (f"/bowings/{theirs.pk}/edit/", f"/bowings/{theirs.pk}/remove/"):
        assert signed_in.post(url, {**NOTES, "press": "keep"}).status_code == 404
    theirs.refresh_from_db()
    assert theirs.name == "secret"
