"""The pages of a score: dropped, shown, refused, removed, and another studio's."""

from __future__ import annotations

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from pytest_django import DjangoAssertNumQueries

from practice.models import PieceInHand, Score, Spot
from practice.scores import urls
from studio.models import Student, Studio
from tests.factories import (
    SCORE,
    PieceInHandFactory,
    ScoreFactory,
    StudentFactory,
    WorkFactory,
)
from tests.practice.scores.test_taking import BAD


def dropped(data: bytes, name: str = "tune.abc") -> dict[str, SimpleUploadedFile]:
    return {"file": SimpleUploadedFile(name, data)}


def test_a_dropped_file_is_kept_as_it_came(signed_in: Client, studio: Studio) -> None:
    work = WorkFactory.create()
    answer = signed_in.post(f"/repertoire/{work.pk}/score/", dropped(SCORE.encode()))
    score = Score.objects.get()
    assert answer.headers["Location"] == f"/scores/{score.pk}/"
    assert (score.studio, score.work, score.bars) == (studio, work, 7)
    copy = signed_in.get(f"/scores/{score.pk}/file/")
    assert copy.content == SCORE.encode()
    assert "tune.abc" in copy.headers["Content-Disposition"]
    assert "tune.abc" in signed_in.get(f"/repertoire/{work.pk}/").content.decode()


def test_the_same_file_twice_is_one_score(signed_in: Client, score: Score) -> None:
    url = f"/repertoire/{score.work_id}/score/"
    assert (
        signed_in.post(url, dropped(SCORE.encode()))
        .headers["Location"]
        .endswith(f"/scores/{score.pk}/")
    )
    assert Score.objects.count() == 1


@pytest.mark.parametrize("name", BAD)
def test_a_bad_file_changes_nothing_and_says_why(
    signed_in: Client, score: Score, name: str
) -> None:
    data, words = BAD[name]
    answer = signed_in.post(f"/repertoire/{score.work_id}/score/", dropped(data, "bad.xml"))
    assert answer.status_code == 422
    assert words in answer.content.decode().replace("&#x27;", "'")
    assert list(Score.objects.all()) == [score]


def test_no_file_is_told(signed_in: Client) -> None:
    answer = signed_in.post(f"/repertoire/{WorkFactory.create().pk}/score/")
    assert answer.status_code == 422
    assert "Choose a file first." in answer.content.decode()


def test_the_page_has_a_tick_for_every_bar_by_its_printed_name(
    signed_in: Client, score: Score
) -> None:
    html = signed_in.get(f"/scores/{score.pk}/").content.decode()
    assert html.count('name="bar"') == 7
    assert 'aria-label="The pickup"' in html
    assert "Bar 3, likely to be hard" in html
    assert "style=" not in html
    svg = signed_in.get(f"/scores/{score.pk}/page-1.svg")
    assert svg.headers["Content-Type"] == "image/svg+xml"
    assert "private" in svg.headers["Cache-Control"]
    assert signed_in.get(f"/scores/{score.pk}/page-2.svg").status_code == 404


def test_from_a_piece_to_its_score_or_to_where_one_is_dropped_for_it(
    signed_in: Client, piece: PieceInHand, studio: Studio
) -> None:
    url = f"/pieces/{piece.pk}/score/"
    other = StudentFactory.create(family=piece.student.family, given_name="Ada")
    PieceInHandFactory.create(student=other, work=piece.work)
    drop = f"/repertoire/{piece.work_id}/score/?piece={piece.pk}"
    assert signed_in.get(url).headers["Location"] == drop
    answer = signed_in.post(drop, dropped(SCORE.encode()))
    score = Score.objects.get()
    assert answer.headers["Location"] == f"/scores/{score.pk}/?piece={piece.pk}"
    assert signed_in.get(url).headers["Location"] == f"/scores/{score.pk}/?piece={piece.pk}"


def test_a_removed_score_leaves_its_spots(
    signed_in: Client, score: Score, piece: PieceInHand
) -> None:
    signed_in.post(
        f"/scores/{score.pk}/spot/",
        {"bar": "2", "piece": piece.pk, "what": "x", "tempo_now": 60, "tempo_goal": 80},
    )
    assert signed_in.post(f"/scores/{score.pk}/remove/").status_code == 302
    assert not Score.objects.exists()
    assert Spot.objects.get().excerpt


def test_a_work_with_a_score_is_not_removed(signed_in: Client, studio: Studio) -> None:
    work = WorkFactory.create(studio=studio, catalogue_key="")
    ScoreFactory.create(studio=studio, work=work)
    signed_in.post(f"/repertoire/{work.pk}/remove/")
    assert Score.objects.count() == 1


def test_every_address_hides_another_studios_score(
    signed_in: Client, other_studio: Studio, other_student: Student
) -> None:
    theirs = ScoreFactory.create(studio=other_studio)
    piece = PieceInHandFactory.create(student=other_student)
    work = WorkFactory.create(studio=other_studio, catalogue_key="")
    ids = {"scores": theirs.pk, "pieces": piece.pk, "repertoire": work.pk}
    for entry in urls.urlpatterns:
        address = str(entry.pattern).replace("<int:number>", "1")
        url = "/" + address.replace("<int:pk>", str(ids[address.split("/")[0]]))
        for method in (signed_in.get, signed_in.post):
            assert method(url).status_code in {404, 405}, url
    shown = signed_in.get(f"/repertoire/{theirs.work_id}/").content.decode()
    assert theirs.name not in shown


def test_the_page_asks_the_database_the_same_few_times(
    signed_in: Client, score: Score, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    signed_in.get(f"/scores/{score.pk}/")
    with django_assert_max_num_queries(8):
        signed_in.get(f"/scores/{score.pk}/")
