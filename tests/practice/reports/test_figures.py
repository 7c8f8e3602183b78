"""The figures of a term: worked out by hand, and once more by plain SQL."""

from __future__ import annotations

import datetime as dt
import random
from typing import Any

import pytest
from django.db import connection

from practice.figures.key_circle import Known
from practice.figures.lesson_fates import LessonFate
from practice.figures.term_weeks import Into, Off
from practice.models import PieceInHand
from practice.planning.types import Part
from practice.reports.data import ReportData
from practice.reports.figures import INTO, term_figures
from practice.reports.keys import key_name
from studio.models import Lesson, Student, Studio, Term
from tests import factories
from tests.practice.reports.material import ENDS, MONDAYS, STARTS, played

AFTER = ENDS + dt.timedelta(days=3)


@pytest.fixture
def term(studio: Studio) -> Term:
    return factories.TermFactory.create(studio=studio)


def figures(term: Term, student: Student, today: dt.date = AFTER) -> ReportData:
    return term_figures(term, [student], today)[student.pk]


def test_minutes_of_a_term_worked_out_by_hand(term: Term, student: Student) -> None:
    played(student, STARTS, "stretch", 2, 2)
    played(student, STARTS, "warm_up", 4, 5)
    played(student, STARTS, "re_warm_up", 2, 1)
    played(student, STARTS, "scale", 8, 10)
    played(student, STARTS, "etude", 6, None)  # nothing heard
    played(student, STARTS, "spot", 7, 7, done=False)  # not done
    played(student, MONDAYS[1], "run_through", 5, 5)
    played(student, MONDAYS[1], "favourite", 3, 3)
    played(student, MONDAYS[1], "explore", 4, 9)
    played(student, MONDAYS[1], "free", 2, 2)
    data = figures(term, student)
    assert data.weeks[0].played == (8, 10, 0, 0, 0, 0)
    assert data.weeks[0].planned == 29
    assert data.weeks[1].played == (0, 0, 0, 0, 5, 14)
    assert data.weeks[1].planned == 14
    assert (data.practised, data.planned, data.weeks_practised) == (37, 43, 2)
    assert len(data.weeks) == 13


def test_every_part_of_a_day_goes_somewhere() -> None:
    assert set(INTO) == set(Part)
    assert set(INTO.values()) == set(Into)


def test_sums_agree_with_plain_sql(term: Term, student: Student, other_student: Student) -> None:
    chance = random.Random(11)
    for whose in (student, other_student):
        for number in range(160):
            date = STARTS + dt.timedelta(days=chance.randrange(-5, 95))
            part = chance.choice(list(Part)).value
            minutes = chance.choice([None, chance.randrange(0, 30)])
            done = chance.random() < 0.8
            played(whose, date, part, chance.randrange(0, 20), minutes, done=done, key=f"k{number}")
    today = MONDAYS[9]
    data = figures(term, student, today)
    table = """
        select coalesce(sum(item.minutes), 0),
               coalesce(sum(case when log.done then log.minutes else 0 end), 0)
        from practice_item item
        join practice_plan plan on plan.id = item.plan_id
        join practice_assignment week on week.id = plan.assignment_id
        left join practice_logentry log on log.item_id = item.id
        where week.student_id = %s and item.date >= %s and item.date <= %s
    """
    with connection.cursor() as cursor:
        cursor.execute(table, [student.pk, STARTS, today])
        assert cursor.fetchone() == (data.planned, data.practised)
        for week in data.weeks:
            cursor.execute(table, [student.pk, week.starts, min(week.ends, today)])
            assert cursor.fetchone() == (week.planned, week.total)
        for place, into in enumerate(Into):
            parts = [part.value for part in Part if INTO[part] == into]
            marks = ", ".join(["%s"] * len(parts))
            cursor.execute(
                f"{table} and item.part in ({marks})", [student.pk, STARTS, today, *parts]
            )
            assert cursor.fetchone()[1] == sum(week.played[place] for week in data.weeks)


def lesson(student: Student, weeks: int, status: str, **more: Any) -> Lesson:
    made: Lesson = factories.LessonFactory.create(
        student=student, date=STARTS + dt.timedelta(weeks=weeks, days=2), status=status, **more
    )
    return made


def test_lessons_of_a_term_worked_out_by_hand(term: Term, student: Student) -> None:
    lesson(student, 0, "kept")
    lost = lesson(student, 1, "cancelled-teacher", make_up_owed=True)
    lesson(student, 2, "kept", starts=dt.time(10), makes_up=lost)
    lesson(student, 3, "missed")
    lesson(student, 4, "cancelled-family")
    lesson(student, 5, "cancelled-teacher", make_up_owed=True)
    lesson(student, 6, "planned")
    lesson(student, 12, "planned")
    data = figures(term, student, MONDAYS[8])
    assert data.lesson_words == (
        "1 kept, 1 made up, 1 missed, 1 cancelled, 1 to be made up, 1 not marked, 1 to come"
    )
    with connection.cursor() as cursor:
        cursor.execute(
            "select count(*) from studio_lesson where student_id = %s and makes_up_id is null",
            [student.pk],
        )
        assert cursor.fetchone() == (len(data.lessons),)


def test_a_term_without_lessons(term: Term, student: Student) -> None:
    data = figures(term, student)
    assert data.lessons == ()
    assert data.practised == data.planned == 0
    assert {week.off for week in data.weeks} == {Off.NOTHING}
    assert data.next_lesson is None
    assert ReportData.from_json(data.to_json()) == data


def test_a_student_who_joined_in_the_last_week(term: Term, student: Student) -> None:
    student.started = dt.date(2026, 12, 9)
    student.save()
    lesson(student, 12, "kept")
    played(student, dt.date(2026, 12, 10), "scale", 5, 5)
    data = figures(term, student)
    assert [week.off for week in data.weeks] == [Off.BEFORE] * 12 + [None]
    assert data.lessons == (LessonFate.KEPT,)


def test_a_week_off_in_the_middle(term: Term, student: Student) -> None:
    factories.ClosureFactory.create(studio=term.studio)  # 26 to 30 October is week 7
    played(student, STARTS, "scale", 5, 5)
    assert figures(term, student).weeks[6].off is Off.CLOSED


def test_a_log_in_the_future_counts_nowhere_and_is_told(term: Term, student: Student) -> None:
    today = MONDAYS[3]
    played(student, today, "scale", 5, 5)
    spot = factories.SpotFactory.create(piece__student=student)
    played(student, today + dt.timedelta(days=1), "spot", 7, 7, tempo=70, spot=spot)
    data = figures(term, student, today)
    assert (data.practised, data.planned, data.later) == (5, 5, 1)
    assert data.tempos == ()


def test_keys_so_far_and_in_this_term(term: Term, student: Student) -> None:
    scale = factories.ScaleInHandFactory.create
    scale(student=student, key="A major", since=dt.date(2026, 3, 1), until=dt.date(2026, 6, 1))
    scale(student=student, key="E minor", form="natural", since=STARTS, until=MONDAYS[5])
    scale(student=student, key="nonsense", since=STARTS, until=MONDAYS[5])
    scale(student=student, key="B flat major", since=MONDAYS[5])
    data = figures(term, student)
    assert [(key_name(key), key.this_term) for key in data.learnt] == [
        ("A major", False),
        ("E minor", True),
    ]
    assert [key_name(key) for key in data.now] == ["B♭ major"]
    assert data.scale == "B flat major, 2 octaves"


def test_a_key_that_came_after_the_term_is_not_in_it(term: Term, student: Student) -> None:
    scale = factories.ScaleInHandFactory.create
    scale(student=student, key="A major", since=STARTS, until=AFTER)
    scale(student=student, key="D major", since=AFTER)
    data = figures(term, student, AFTER + dt.timedelta(days=30))
    assert [(key_name(key), key.known) for key in data.keys] == [("A major", Known.NOW)]


def test_tempos_come_from_the_rows_of_home(term: Term, student: Student) -> None:
    spot = factories.SpotFactory.create(piece__student=student, first_bar=3, last_bar=4)
    scale = factories.ScaleInHandFactory.create(student=student, tempo_goal=88, since=STARTS)
    bare = factories.ScaleInHandFactory.create(
        student=student, key="A major", since=STARTS, until=STARTS
    )
    for week, tempo in [(0, 60), (0, 66), (2, 84)]:
        date = MONDAYS[week]
        played(student, date, "spot", 5, 5, tempo=tempo, spot=spot)
    played(student, MONDAYS[1], "spot", 5, 5, tempo=200, spot=spot, done=False)
    played(student, MONDAYS[1], "scale", 5, 5, tempo=72, scale=scale)
    played(student, MONDAYS[1], "scale", 5, 5, tempo=72, scale=bare)  # has no goal
    found = [(line.name, line.words) for line in figures(term, student).tempos]
    assert found == [
        (
            "Minuet in G, bars 3 to 4",
            "from 66 in week 1 to 84 in week 3, goal 80 reached in week 3",
        ),
        ("G major scale", "72 in week 2, goal 88 not reached yet"),
    ]


def test_pieces_set_aside_are_not_finished(term: Term, student: Student) -> None:
    piece = factories.PieceInHandFactory.create
    learned, aside = PieceInHand.Stage.FINISHED, PieceInHand.Stage.SET_ASIDE
    works = [factories.WorkFactory.create(title=title) for title in "ABCD"]
    start = {"student": student, "started": STARTS}
    piece(**start, work=works[0], stage=learned, finished=MONDAYS[2])
    piece(**start, work=works[1], stage=aside, finished=MONDAYS[2])
    piece(**start, work=works[2], stage=learned, finished=AFTER)
    piece(**start, work=works[3])
    data = figures(term, student, AFTER + dt.timedelta(days=9))
    assert [(each.title, each.date) for each in data.finished] == [("A", MONDAYS[2])]
    assert data.in_hand == ("C", "D")


@pytest.mark.parametrize(
    ("days", "expected", "of_next_term"),
    [([2, 20], 20, True), ([2, 3], 2, False), ([20, 21], 20, True)],
)
def test_the_next_lesson_is_the_first_after_the_term(
    term: Term, student: Student, days: list[int], expected: int, of_next_term: bool
) -> None:
    today = dt.date(2026, 12, 7)
    for day in days:
        factories.LessonFactory.create(student=student, date=today + dt.timedelta(days=day))
    coming = figures(term, student, today).next_lesson
    assert coming is not None
    assert (coming.date - today).days == expected
    assert coming.of_next_term is of_next_term


def test_queries_do_not_grow_with_the_students(
    term: Term, studio: Studio, django_assert_num_queries: Any
) -> None:
    students = [factories.StudentFactory.create(family__studio=studio) for _ in range(8)]
    for each in students:
        spot = factories.SpotFactory.create(piece__student=each)
        played(each, STARTS, "spot", 5, 5, tempo=70, spot=spot)
        lesson(each, 0, "kept")
    for few in (students[:1], students):
        with django_assert_num_queries(9):
            term_figures(term, few, AFTER)
