"""What is said of a piece before its recital: from the rows, with numbers, never a verdict."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest

from practice.models import Mark, Performance, PieceInHand, Plan, Spot
from practice.planning.types import Part
from practice.recitals.readiness import Readiness, readiness_of
from studio.models import Student
from tests import factories
from tests.factories import DAY

CONCERT = dt.date(2026, 12, 5)


def ago(days: int) -> dt.date:
    return DAY - dt.timedelta(days=days)


def said(each: Performance) -> Readiness:
    return readiness_of([each], CONCERT, DAY)[each.pk]


@pytest.fixture
def piece(student: Student) -> PieceInHand:
    return factories.PieceInHandFactory.create(student=student, stage="polishing")


@pytest.fixture
def performance(piece: PieceInHand) -> Performance:
    return factories.PerformanceFactory.create(
        programme__recital__studio=piece.student.family.studio,
        student=piece.student,
        work=piece.work,
    )


def logged(student: Student, day: dt.date, key: str, part: str, **more: Any) -> None:
    tempo = more.pop("tempo", None)
    plan = Plan.objects.filter(assignment__student=student).first()
    plan = plan or factories.PlanFactory.create(assignment__student=student)
    item = factories.ItemFactory.create(plan=plan, date=day, key=key, part=part, **more)
    factories.LogEntryFactory.create(item=item, tempo=tempo)


def rising(piece: PieceInHand) -> None:
    """A spot whose tempos rise by 2 every third day from 56 to 70."""
    spot = factories.SpotFactory.create(piece=piece, opened=ago(30), state=Spot.State.FIRMING)
    for number in range(8):
        day = ago(21 - 3 * number)
        logged(piece.student, day, f"spot:{spot.pk}", "spot", spot=spot, tempo=56 + 2 * number)


def test_of_a_piece_nobody_has_in_hand_it_says_so(student: Student) -> None:
    each = factories.PerformanceFactory.create(student=student)
    assert said(each).sentences == (
        "It is not among this student’s pieces, so nothing is known of it.",
    )


def test_too_little_is_told_as_too_little(performance: Performance, piece: PieceInHand) -> None:
    factories.SpotFactory.create(piece=piece)
    found = said(performance)
    assert found.line == "polishing, 1 spot open"
    assert found.sentences == (
        "Polishing, in hand since 7 October 2026.",
        "No log says that it was played through in the last four weeks.",
        "1 spot is open.",
        "Bar 3: troubled, now 60 of 80. Tempos on 0 days: too few for a trend,"
        " which needs 6 over two weeks.",
        "No marks were heard at a lesson in the last eight weeks.",
    )


def test_numbers_by_hand(performance: Performance, piece: PieceInHand) -> None:
    student = piece.student
    rising(piece)
    factories.SpotFactory.create(piece=piece, first_bar=9, state="solved", solved=ago(2))
    for days in (1, 3, 40):
        logged(student, ago(days), f"run:{piece.pk}", Part.RUN_THROUGH, piece=piece)
    lesson = factories.LessonFactory.create(student=student, date=ago(7), status="kept")
    for aspect, grade in (("tone", 2), ("notes", 3)):
        Mark.objects.create(lesson=lesson, aspect=aspect, heard=grade)
    older = factories.LessonFactory.create(student=student, date=ago(14), status="kept")
    Mark.objects.create(lesson=older, aspect="bow", heard=1)
    stage, whole, count, tempo, heard = said(performance).sentences
    assert whole == "Played through on 2 days of the last four weeks, as logged."
    assert count == "1 spot is open."
    assert tempo.startswith("Bar 3: firming up, now 60 of 80. Tempo about 70, +4.7 a week")
    assert tempo.endswith("The recital is on 5 December 2026.")
    assert heard == "Heard at the lesson on 18 November 2026: notes steady, tone coming."


def test_a_favourite_counts_its_own_logs(student: Student) -> None:
    liked = factories.FavouriteFactory.create(student=student)
    logged(student, ago(2), f"favourite:{liked.pk}", "favourite")
    each = factories.PerformanceFactory.create(student=student, work=liked.work)
    found = said(each)
    assert found.line == "a favourite"
    assert found.sentences[:2] == (
        "A favourite since 2 October 2026.",
        "Played through on 1 day of the last four weeks, as logged.",
    )


def test_nothing_is_ranked_or_judged(performance: Performance, piece: PieceInHand) -> None:
    rising(piece)
    factories.SpotFactory.create(piece=piece, first_bar=9)
    words = " ".join(said(performance).sentences).lower()
    assert "tempo about 70" in words  # with all there is to say
    assert "too few for a trend" in words
    for verdict in ("ready", "not yet ready", "%", "rank", "better", "worse", "behind"):
        assert verdict not in words


def test_another_students_logs_of_the_same_work_do_not_count(
    performance: Performance, piece: PieceInHand
) -> None:
    other = factories.StudentFactory.create(family=piece.student.family, given_name="Zola")
    theirs = factories.PieceInHandFactory.create(student=other, work=piece.work)
    logged(other, ago(1), f"run:{theirs.pk}", Part.RUN_THROUGH, piece=theirs)
    assert "No log says" in said(performance).sentences[1]


def test_queries_stay_the_same(performance: Performance, django_assert_num_queries: Any) -> None:
    rows = [performance]
    for number in range(3):
        other = factories.StudentFactory.create(family=performance.student.family)
        piece = factories.PieceInHandFactory.create(student=other, stage="polishing")
        factories.SpotFactory.create_batch(number + 1, piece=piece)
        rows.append(
            factories.PerformanceFactory.create(
                programme=performance.programme, student=other, work=piece.work
            )
        )
    with django_assert_num_queries(6):
        readiness_of(rows, CONCERT, DAY)
