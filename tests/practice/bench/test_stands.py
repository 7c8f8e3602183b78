"""How it stands: what is counted from the rows, and what is said of it."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
from pytest_django import DjangoAssertNumQueries

from practice.bench.stands import lesson_to_hear, pieces_standing, scale_standing
from practice.logs.models import ScaleHeard
from practice.models import Mark, Plan, ScaleInHand, Spot
from studio.models import Lesson, Recital, Student
from tests import factories
from tests.factories import DAY

pytestmark = pytest.mark.django_db
BEGUN = DAY - dt.timedelta(days=42)


def ago(days: int) -> dt.date:
    return DAY - dt.timedelta(days=days)


@pytest.fixture
def scale(student: Student) -> ScaleInHand:
    return factories.ScaleInHandFactory.create(
        student=student, since=BEGUN, tempo_now=60, tempo_goal=84
    )


def logged(student: Student, days: int, bpm: int | None, **item: Any) -> None:
    """One item that was played so many days ago."""
    starts = ago(days)
    plan = Plan.objects.filter(assignment__student=student, assignment__starts=starts).first()
    if plan is None:
        plan = factories.PlanFactory.create(assignment__student=student, assignment__starts=starts)
    made = factories.ItemFactory.create(plan=plan, date=starts, **item)
    factories.LogEntryFactory.create(item=made, tempo=bpm)


def lesson(student: Student, days: int, grades: str, tempo: int | None, bowed: bool) -> Lesson:
    held = factories.LessonFactory.create(student=student, date=ago(days), status="kept")
    for aspect, grade in zip(Mark.Aspect, grades, strict=False):
        Mark.objects.create(lesson=held, aspect=aspect, heard=int(grade))
    if tempo:
        scale = student.scales.get(until=None)
        ScaleHeard.objects.create(lesson=held, scale=scale, tempo=tempo, with_bowings=bowed)
    return held


def said(student: Student) -> str:
    standing = scale_standing(student, DAY)
    assert standing is not None
    return "\n".join(standing.words)


def test_without_a_scale_there_is_nothing_to_stand(student: Student) -> None:
    assert scale_standing(student, DAY) is None


def test_weeks_and_days_count_in_this_key_only(student: Student, scale: ScaleInHand) -> None:
    for days in (50, 30, 8, 1):
        logged(student, days, None, scale=scale if days < 42 else None, part="scale")
    assert "In G major since 14 October 2026: 6 weeks, 3 practice days." in said(student)


def test_two_lessons_at_tempo_in_the_bowings_are_steady(
    student: Student, scale: ScaleInHand
) -> None:
    lesson(student, 21, "2333", 84, True)
    lesson(student, 14, "3333", 84, True)
    lesson(student, 7, "333", 88, True)
    words = said(student)
    assert "Steady at 2 of the 2 lessons running you ask for." in words
    assert "Marks at 3 lessons; on 18 November 2026: notes steady, bow steady" in words


@pytest.mark.parametrize(
    ("grades", "tempo", "bowed"), [("3332", 84, True), ("3333", 83, True), ("3333", 84, False)]
)
def test_a_mark_the_tempo_or_the_bowings_can_lack(
    student: Student, scale: ScaleInHand, grades: str, tempo: int, bowed: bool
) -> None:
    lesson(student, 7, grades, tempo, bowed)
    assert "Steady at 0 of the 2 lessons" in said(student)


def test_the_rule_of_thumb_is_the_teachers(student: Student, scale: ScaleInHand) -> None:
    student.family.studio.steady_lessons = 4
    assert "of the 4 lessons running you ask for" in said(student)


def test_too_few_tempos_are_told_and_nothing_is_drawn(student: Student, scale: ScaleInHand) -> None:
    for days in (20, 10, 0):
        logged(student, days, 66, scale=scale, part="scale")
    standing = scale_standing(student, DAY)
    assert standing is not None
    assert standing.line is None
    assert "Tempos on 3 days: too few for a trend" in standing.words[-1]


def test_without_a_goal_no_tempo_is_judged(student: Student) -> None:
    factories.ScaleInHandFactory.create(student=student, since=BEGUN)
    assert "No tempo is wanted of this scale yet" in said(student)


def climbing(student: Student, spot: Spot, pace: float) -> None:
    for days in range(30, -1, -3):
        logged(student, days, round(70 - pace * days), spot=spot, part="spot")


@pytest.mark.parametrize(
    ("ends", "words"),
    [
        (dt.date(2027, 7, 1), "That is within the term, which ends on 1 July 2027."),
        (dt.date(2026, 12, 20), "The term ends on 20 December 2026, so it may or may not"),
        (dt.date(2026, 11, 27), "That is after the term, which ends on 27 November 2026."),
    ],
)
def test_the_end_of_term_stands_beside_the_forecast(
    student: Student, ends: dt.date, words: str
) -> None:
    factories.TermFactory.create(studio=student.family.studio, ends=ends)
    piece = factories.PieceInHandFactory.create(student=student)
    spot = factories.SpotFactory.create(piece=piece, opened=ago(40), tempo_goal=80)
    climbing(student, spot, 0.5)
    (standing,) = pieces_standing(student, DAY)[0].spots
    assert standing.line is not None
    assert "Troubled, played on 11 days." in standing.words
    assert "Tempo about 70, +3.5 a week" in standing.words[1]
    assert words in standing.words[1]


def test_the_recital_stands_beside_the_forecast_until_it_is_over(student: Student) -> None:
    studio = student.family.studio
    factories.TermFactory.create(studio=studio)
    recital = factories.RecitalFactory.create(studio=studio, date=DAY + dt.timedelta(days=17))
    piece = factories.PieceInHandFactory.create(student=student)
    spot = factories.SpotFactory.create(piece=piece, opened=ago(40), tempo_goal=80)
    climbing(student, spot, 0.5)
    (standing,) = pieces_standing(student, DAY)[0].spots
    assert standing.words[1].endswith("The recital is on 12 December 2026.")
    for change in ({"date": ago(1)}, {"date": recital.date, "called_off": True}):
        Recital.objects.update(**change)
        (standing,) = pieces_standing(student, DAY)[0].spots
        assert "recital" not in standing.words[1]
        assert "The term ends" in standing.words[1] or "term, which ends" in standing.words[1]


def test_solved_spots_and_earlier_tempos_are_left_out(student: Student) -> None:
    piece = factories.PieceInHandFactory.create(student=student)
    spot = factories.SpotFactory.create(piece=piece, opened=ago(10))
    factories.SpotFactory.create(piece=piece, first_bar=9, state="solved", solved=ago(1))
    climbing(student, spot, 0.5)
    (standing,) = pieces_standing(student, DAY)[0].spots
    assert standing.title == "bar 3"
    assert standing.words[0] == "Troubled, played on 4 days."


def test_a_cancelled_lesson_and_one_to_come_are_not_heard(student: Student) -> None:
    held = factories.LessonFactory.create(student=student, date=ago(7), status="kept")
    factories.LessonFactory.create(student=student, date=ago(3), status="cancelled-family")
    factories.LessonFactory.create(student=student, date=ago(-7))
    assert lesson_to_hear(student, DAY) == held


def test_more_lessons_logs_and_spots_need_no_more_queries(
    student: Student, scale: ScaleInHand, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    factories.TermFactory.create(studio=student.family.studio)
    piece = factories.PieceInHandFactory.create(student=student)
    for bar in range(1, 5):
        climbing(student, factories.SpotFactory.create(piece=piece, first_bar=bar), 0.5)
    for days in (28, 21, 14, 7):
        lesson(student, days, "3333", 84, True)
        logged(student, days + 1, 70, scale=scale, part="scale")
    student = Student.objects.select_related("family__studio").get(pk=student.pk)
    with django_assert_num_queries(6):
        scale_standing(student, DAY)
    with django_assert_num_queries(5):
        pieces_standing(student, DAY)
