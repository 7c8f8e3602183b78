"""Another studio sees nothing, and more players cost no more queries."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
from django.test import Client

from practice.models import Programme
from studio.models import Student
from tests import factories
from tests.factories import DAY
from tests.pages.recitals.steps import address, piece_of

pytestmark = pytest.mark.usefixtures("frozen")


@pytest.mark.parametrize("name", ["recital", "choose", "lengths", "thanks", "programme-pdf"])
def test_more_players_need_no_more_queries(
    signed_in: Client, programme: Programme, name: str, django_assert_num_queries: Any
) -> None:
    most = {"recital": 11, "choose": 8, "lengths": 4, "thanks": 5, "programme-pdf": 5}[name]
    for number in range(8):
        student = factories.StudentFactory.create(family__studio=programme.recital.studio)
        piece = factories.PieceInHandFactory.create(student=student, stage="polishing")
        factories.SpotFactory.create(piece=piece)
        factories.PerformanceFactory.create(
            programme=programme, student=student, work=piece.work, place=10 + number
        )
    with django_assert_num_queries(most):
        assert signed_in.get(address(name, programme.recital_id)).status_code == 200


def test_the_list_needs_no_more_queries(
    signed_in: Client, programme: Programme, django_assert_num_queries: Any
) -> None:
    for day in range(1, 5):
        factories.ProgrammeFactory.create(
            recital__studio=programme.recital.studio, recital__date=DAY + dt.timedelta(days=day)
        )
    with django_assert_num_queries(3):  # session, user with studio, programmes
        signed_in.get(address("recitals"))


def test_nothing_of_another_studio_can_be_reached(
    signed_in: Client, programme: Programme, other_student: Student
) -> None:
    theirs = factories.PerformanceFactory.create(
        programme__recital__studio=other_student.family.studio, student=other_student
    )
    pk = theirs.programme.recital_id
    seen = ("recital", "change", "choose", "lengths", "thanks")
    for name in (*seen, "programme-pdf", "thanks-pdf", "invitation"):
        assert signed_in.get(address(name, pk)).status_code == 404, name
    posts = ("call-off", "hold", "remove", "draft", "change", "choose", "lengths", "thanks")
    intervals = ("interval-add", "interval-remove", "interval-earlier", "interval-later")
    for name in (*posts, *intervals):
        assert signed_in.post(address(name, pk), {"sure": "yes"}).status_code == 404, name
    assert signed_in.get(address("thanks-one-pdf", pk, other_student.pk)).status_code == 404
    for recital in (pk, programme.recital_id):  # also through her own recital
        for name in ("piece", "piece-remove", "earlier", "later"):
            assert signed_in.post(address(name, recital, theirs.pk)).status_code == 404, name
    offer = {"offer": f"{other_student.pk}-{theirs.work_id}"}
    signed_in.post(address("choose", programme.recital_id), offer)
    assert programme.performances.count() == 3
    partner = {"seconds": "", "character": "other", "partner": str(other_student.pk)}
    answer = signed_in.post(address("piece", programme.recital_id, piece_of("Imani").pk), partner)
    assert answer.status_code == 422
    assert "Sora" not in signed_in.get(address("recitals")).content.decode()
    theirs.refresh_from_db()
