"""Another teacher's pieces, spots, works, favourites and ideas are not there."""

from __future__ import annotations

import pytest
from django.test import Client

from practice.models import PieceInHand, Spot, Work
from practice.repertoire import urls
from studio.models import Student
from tests.factories import (
    FavouriteFactory,
    IdeaFactory,
    PieceInHandFactory,
    SpotFactory,
    WorkFactory,
)


@pytest.fixture
def others(other_student: Student) -> dict[str, int]:
    """By the first part of an address: a row of Per's."""
    studio = other_student.family.studio
    spot = SpotFactory.create(piece=PieceInHandFactory.create(student=other_student))
    return {
        "students": other_student.pk,
        "pieces": spot.piece_id,
        "spots": spot.pk,
        "favourites": FavouriteFactory.create(student=other_student).pk,
        "repertoire": WorkFactory.create(studio=studio, catalogue_key="").pk,
        "repertoire/ideas": IdeaFactory.create(studio=studio).pk,
    }


ADDRESSES = [str(entry.pattern) for entry in urls.urlpatterns if "<int:pk>" in str(entry.pattern)]


def test_every_address_of_one_object_is_looked_at() -> None:
    assert len(ADDRESSES) == 25


@pytest.mark.parametrize("address", ADDRESSES)
@pytest.mark.parametrize("method", ["get", "post"])
def test_what_is_another_teachers_is_not_found(
    signed_in: Client, others: dict[str, int], address: str, method: str
) -> None:
    owner = address.split("/<int:pk>")[0]
    url = "/" + address.replace("<int:pk>", str(others[owner]))
    assert getattr(signed_in, method)(url).status_code in {404, 405}
    assert {signed_in.get(url).status_code, signed_in.post(url).status_code} & {404}
    assert PieceInHand.objects.get().stage == PieceInHand.Stage.WORKING_UP
    assert Spot.objects.get().state == Spot.State.TROUBLED
    assert Work.objects.filter(studio__isnull=False).count() == 1


@pytest.mark.parametrize("page", ["pieces/give", "etude", "favourites/add"])
def test_another_teachers_work_cannot_be_given(
    signed_in: Client, student: Student, others: dict[str, int], page: str
) -> None:
    post = {"work": others["repertoire"], "since": "2026-01-01"}
    assert signed_in.post(f"/students/{student.pk}/{page}/", post).status_code == 404
    assert not student.pieces.exists()


def test_another_teachers_work_is_in_no_list(
    signed_in: Client, student: Student, other_student: Student
) -> None:
    WorkFactory.create(studio=other_student.family.studio, title="Secret Polka", catalogue_key="")
    for url in ("/repertoire/", f"/students/{student.pk}/pieces/give/"):
        assert "Secret Polka" not in signed_in.get(url).content.decode()
    like = Work.objects.get(title="Secret Polka").pk
    assert signed_in.get(f"/repertoire/add/?like={like}").status_code == 404


@pytest.mark.parametrize("url", ["/repertoire/", "/repertoire/ideas/", "/repertoire/add/"])
def test_without_signing_in_there_is_only_the_door(
    client: Client, student: Student, url: str
) -> None:
    assert client.get(url).headers["Location"].startswith("/sign-in/")
