"""The studio's year: worked out by hand, and once more by plain SQL."""

from __future__ import annotations

import datetime as dt
import random
from typing import Any

import pytest
from django.db import connection

from practice.figures.years import StudioYear, calendar_year, school_year
from practice.planning.types import Part
from practice.reports.keys import key_name
from practice.reports.studio_year import YearFigures, year_figures
from studio.lessons.ledger import Fate
from studio.models import Lesson, Slot, Student, Studio
from tests import factories
from tests.practice.reports.material import played

TODAY = dt.date(2026, 11, 25)
YEAR = school_year(2026)
STATUSES = ["planned", "kept", "cancelled-family", "cancelled-teacher", "missed"]


def figures(studio: Studio, year: StudioYear = YEAR, today: dt.date = TODAY) -> YearFigures:
    return year_figures(studio, year, today)


def lesson(student: Student, day: dt.date, status: str = "kept", **more: Any) -> Lesson:
    made: Lesson = factories.LessonFactory.create(
        student=student, date=day, status=status, minutes=more.pop("minutes", 30), **more
    )
    return made


def counted(told: YearFigures) -> dict[str, int]:
    return {fate.value: count for fate, count in told.fates if count}


def test_a_year_worked_out_by_hand(studio: Studio, student: Student) -> None:
    day = dt.date(2026, 9, 2)
    lesson(student, day, minutes=45)
    lost = lesson(student, day + dt.timedelta(days=7), "cancelled-teacher", make_up_owed=True)
    lesson(student, dt.date(2026, 10, 1), makes_up=lost, starts=dt.time(9))
    lesson(student, day + dt.timedelta(days=14), "missed")
    lesson(student, day + dt.timedelta(days=21), "cancelled-teacher", make_up_owed=True)
    lesson(student, day + dt.timedelta(days=28), "planned")  # past, not marked
    lesson(student, dt.date(2026, 12, 2), "planned")
    lesson(student, dt.date(2026, 7, 31))  # the year before
    told = figures(studio)
    assert counted(told) == {
        "given": 1,
        "made up": 1,
        "to come": 1,
        "not marked yet": 1,
        "make-up owed": 1,
        "forfeited": 1,
    }
    assert told.lessons_planned == 6
    assert [(month.lessons, month.minutes) for month in told.taught[:4]] == [
        (0, 0),
        (1, 45),
        (1, 30),
        (0, 0),
    ]
    assert (told.lessons_taught, told.minutes_taught) == (2, 75)


def test_two_children_in_one_lesson_are_one_lesson_taught(studio: Studio, student: Student) -> None:
    brother = factories.StudentFactory.create(family=student.family, given_name="Tomi")
    slot = factories.SlotFactory.create(studio=studio)
    for who in (student, brother):
        lesson(who, dt.date(2026, 9, 2), slot=slot, slot_day=dt.date(2026, 9, 2), minutes=60)
    alone = factories.StudentFactory.create(family__studio=studio)
    lesson(alone, dt.date(2026, 9, 2))
    told = figures(studio)
    assert (told.lessons_taught, told.minutes_taught) == (2, 90)
    assert counted(told) == {"given": 3}


def test_days_and_minutes_of_practice_by_hand(studio: Studio, student: Student) -> None:
    day = dt.date(2026, 9, 2)
    played(student, day, "scale", 10, 12)
    played(student, day, "etude", 10, None)
    played(student, day + dt.timedelta(days=1), "scale", 10, None)  # planned, not heard
    played(student, day + dt.timedelta(days=2), "scale", 10, 5, done=False)
    played(student, day + dt.timedelta(days=3), "scale", 0, 7)  # no minutes planned
    played(student, TODAY + dt.timedelta(days=1), "scale", 10, 10)  # in the future
    told = figures(studio)
    assert (told.days_planned, told.days_heard, told.share_heard) == (3, 1, 33)
    assert (told.planned, told.practised) == (40, 19)
    assert told.months[1].total == 19


def test_pieces_and_keys_are_counted_and_nobody_is_named(studio: Studio, student: Student) -> None:
    other = factories.StudentFactory.create(family__studio=studio)
    inside, before = dt.date(2026, 9, 1), dt.date(2026, 5, 1)
    piece = factories.PieceInHandFactory.create
    piece(student=student, started=before, finished=inside, stage="finished")
    piece(student=other, started=inside)
    scale = factories.ScaleInHandFactory.create
    scale(student=student, key="G major", since=before, until=inside)
    scale(student=student, key="C major", since=inside)
    scale(student=other, key="G major", since=inside)
    gone = factories.StudentFactory.create(family__studio=studio)
    scale(student=gone, key="D major", since=before, until=dt.date(2026, 7, 31))
    told = figures(studio)
    assert (told.pieces_begun, told.pieces_finished) == (1, 1)
    assert [(key_name(each.key), each.students) for each in told.keys] == [
        ("C major", 1),
        ("G major", 2),
    ]


def test_an_empty_year(studio: Studio) -> None:
    told = figures(studio, calendar_year(2001))
    assert (told.lessons_planned, told.planned, told.share_heard, told.students) == (0, 0, None, 0)
    assert len(told.months) == len(told.taught) == 12


def test_another_studio_counts_nowhere(studio: Studio, other_student: Student) -> None:
    lesson(other_student, dt.date(2026, 9, 2))
    played(other_student, dt.date(2026, 9, 2), "scale", 10, 10)
    factories.ScaleInHandFactory.create(student=other_student, since=dt.date(2026, 9, 2))
    told = figures(studio)
    assert (told.lessons_planned, told.planned, told.keys, told.students) == (0, 0, (), 0)


FATES_BY_SQL = """
    with recursive chain(root, id, status, owed, until) as (
        select lesson.id, lesson.id, lesson.status, lesson.make_up_owed, lesson.make_up_until
        from studio_lesson lesson
        join studio_student student on student.id = lesson.student_id
        join studio_family family on family.id = student.family_id
        where family.studio_id = %s and lesson.makes_up_id is null
          and coalesce(lesson.slot_day, lesson.date) between %s and %s
        union all
        select chain.root, lesson.id, lesson.status, lesson.make_up_owed, lesson.make_up_until
        from chain join studio_lesson lesson on lesson.makes_up_id = chain.id
    ), ends as (
        select * from chain
        where not exists (select 1 from studio_lesson next where next.makes_up_id = chain.id)
    )
    select
        count(*),
        sum(case when root = id and status = 'kept' then 1 else 0 end),
        sum(case when root <> id and status = 'kept' then 1 else 0 end),
        sum(case when root <> id and status = 'planned' then 1
                 when status not in ('kept', 'planned') and owed
                      and (until is null or until >= %s) then 1 else 0 end)
    from ends
"""
TAUGHT_BY_SQL = """
    select coalesce(sum(minutes), 0) from (
        select distinct coalesce(-lesson.slot_id, lesson.id) as what, lesson.date, lesson.starts,
               lesson.minutes
        from studio_lesson lesson
        join studio_student student on student.id = lesson.student_id
        join studio_family family on family.id = student.family_id
        where family.studio_id = %s and lesson.status = 'kept' and lesson.date between %s and %s
    ) once
"""
PRACTICE_BY_SQL = """
    select coalesce(sum(planned), 0), coalesce(sum(played), 0),
           coalesce(sum(case when planned > 0 then 1 else 0 end), 0),
           coalesce(sum(case when planned > 0 and ticked > 0 then 1 else 0 end), 0)
    from (
        select sum(item.minutes) as planned,
               sum(case when log.done then log.minutes else 0 end) as played,
               sum(case when log.done then 1 else 0 end) as ticked
        from practice_item item
        join practice_plan plan on plan.id = item.plan_id
        join practice_assignment week on week.id = plan.assignment_id
        join studio_student student on student.id = week.student_id
        join studio_family family on family.id = student.family_id
        left join practice_logentry log on log.item_id = item.id
        where family.studio_id = %s and item.date between %s and %s
        group by week.student_id, item.date
    ) days
"""


def by_sql(question: str, *values: int | dt.date) -> tuple[int, ...]:
    with connection.cursor() as cursor:
        cursor.execute(question, list(values))
        return tuple(int(value or 0) for value in cursor.fetchone())


def lessons_at_random(students: list[Student], slot: Slot, chance: random.Random) -> None:
    """Sixty weeks with every fate, some shared by those in the slot, some made up."""
    for number in range(60):
        day = dt.date(2025, 12, 1) + dt.timedelta(days=7 * number)
        for who in students:
            status = chance.choice(STATUSES)
            fell_out = status not in ("planned", "kept")
            shared = slot if who is not students[-1] and chance.random() < 0.7 else None
            lost = lesson(
                who,
                day,
                status,
                slot=shared,
                slot_day=day if shared else None,
                minutes=chance.choice([30, 45]) if shared is None else 30,
                make_up_owed=fell_out and chance.random() < 0.6,
                make_up_until=chance.choice([None, day + dt.timedelta(days=56)]),
            )
            if lost.make_up_owed and chance.random() < 0.5:
                again = chance.choice(["planned", "kept", "missed"])
                lesson(who, day + dt.timedelta(days=3), again, makes_up=lost)


def days_at_random(students: list[Student], chance: random.Random) -> None:
    for who in students:
        for number in range(120):
            day = dt.date(2026, 6, 1) + dt.timedelta(days=chance.randrange(200))
            minutes, part = chance.choice([None, 4, 15]), chance.choice(list(Part)).value
            planned, done = chance.choice([0, 5, 10]), chance.random() < 0.8
            played(who, day, part, planned, minutes, done=done, key=f"k{number}")


@pytest.mark.parametrize("year", [YEAR, calendar_year(2026)], ids=["school", "calendar"])
def test_sums_agree_with_plain_sql(
    studio: Studio, student: Student, other_student: Student, year: StudioYear
) -> None:
    chance = random.Random(7)
    sister = factories.StudentFactory.create(family=student.family, given_name="Zuri")
    everybody = [student, sister, other_student]
    lessons_at_random(everybody, factories.SlotFactory.create(studio=studio), chance)
    days_at_random(everybody, chance)
    told = figures(studio, year)
    count = dict(told.fates)
    assert by_sql(FATES_BY_SQL, studio.pk, year.first, year.last, TODAY) == (
        told.lessons_planned,
        count[Fate.GIVEN],
        count[Fate.MADE_UP],
        count[Fate.OWED],
    )
    assert count[Fate.MADE_UP] > 0
    assert count[Fate.OWED] > 0
    assert by_sql(TAUGHT_BY_SQL, studio.pk, year.first, TODAY) == (told.minutes_taught,)
    assert by_sql(PRACTICE_BY_SQL, studio.pk, year.first, TODAY) == (
        told.planned,
        told.practised,
        told.days_planned,
        told.days_heard,
    )
    assert sum(minutes for _, minutes in told.parts) == told.practised


def test_queries_do_not_grow(studio: Studio, django_assert_num_queries: Any) -> None:
    for number in range(6):
        who = factories.StudentFactory.create(family__studio=studio)
        lesson(who, dt.date(2026, 9, 2 + number))
        played(who, dt.date(2026, 9, 2), "scale", 10, 10)
        factories.ScaleInHandFactory.create(student=who)
    with django_assert_num_queries(9):
        figures(studio)
