"""A studio of ten years for bench_decades: who left, and a sheet of every week. Django is set up.

What the example writes is a term and a half, or ten years, of students who are there now. The rows
of students who left are copies of theirs until a year ago, made by the database: numbers are moved
up by OFFSET.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

from django.db import connection, models

OFFSET = 100_000_000
A_YEAR = dt.timedelta(days=365)


def add_those_who_left(entries: int) -> None:
    """Copies students with all their years, as such who left, until so many things are logged."""
    from practice.models import LogEntry
    from studio.models import Student

    students = list(Student.objects.order_by("started", "pk"))
    for student in students:
        if LogEntry.objects.count() >= entries:
            return
        _copy(student.pk)


def _copy(student: int) -> None:
    from practice import models as practice
    from studio import clock
    from studio import models as studio

    left = clock.now().date() - A_YEAR
    family = f"SELECT family_id FROM studio_student WHERE id = {student}"
    own = f"student_id = {student}"
    taught = f"{own} AND date < '{left}'"
    lesson = f"lesson_id IN (SELECT id FROM studio_lesson WHERE {taught})"
    decided = f"{own} AND starts < '{left}'"
    weeks = f"assignment_id IN (SELECT id FROM practice_assignment WHERE {decided})"
    plans = f"plan_id IN (SELECT id FROM practice_plan WHERE {weeks})"
    begun = f"{own} AND started < '{left}'"
    since = f"{own} AND since < '{left}'"
    piece = f"piece_id IN (SELECT id FROM practice_pieceinhand WHERE {begun})"
    item = f"item_id IN (SELECT id FROM practice_item WHERE {plans})"
    terms = f"term_id IN (SELECT id FROM studio_term WHERE ends < '{left}')"
    for model, which in (
        (studio.Family, f"id = ({family})"),
        (studio.Student, f"id = {student}"),
        (studio.SizeHeld, since),
        (studio.Lesson, taught),
        (practice.PieceInHand, begun),
        (practice.Spot, piece),
        *((each, since) for each in (practice.ScaleInHand, practice.EtudeInHand)),
        (practice.Favourite, since),
        (practice.Assignment, decided),
        (practice.Plan, weeks),
        *((each, plans) for each in (practice.Item, practice.Sheet)),
        (practice.LogEntry, item),
        (practice.Word, taught),
        *((each, lesson) for each in (practice.Mark, practice.ScaleHeard, practice.LessonNote)),
        (practice.Report, f"{own} AND {terms}"),
    ):
        _insert(model, which)
    copied = studio.Student.objects.filter(pk=student + OFFSET)
    copied.update(status=studio.Student.Status.LEFT, left=left)


def _insert(model: type[models.Model], which: str) -> None:
    columns = [each.column for each in model._meta.local_concrete_fields]
    values = [_moved(each) for each in model._meta.local_concrete_fields]
    table = model._meta.db_table
    with connection.cursor() as cursor:
        cursor.execute(
            f"INSERT OR IGNORE INTO {table} ({', '.join(columns)})"
            f" SELECT {', '.join(values)} FROM {table} WHERE id < {OFFSET} AND {which}"
        )


# Where a copy points to what all share, or to nothing.
SHARED = {"studio_id", "work_id", "idea_id", "term_id"}


def _moved(field: models.Field) -> str:  # type: ignore[type-arg]
    if isinstance(field, models.UUIDField):
        return "lower(hex(randomblob(16)))"
    if field.column == "slot_id":
        return "NULL"
    if field.primary_key or (field.is_relation and field.column not in SHARED):
        return f"{field.column} + {OFFSET}"
    return field.column


def let_old_make_ups_go() -> None:
    """As a teacher does whose rules expire them; the example keeps them all."""
    from studio import clock
    from studio.models import Lesson

    owed = Lesson.objects.filter(make_up_owed=True, made_up_by=None)
    owed.filter(date__lt=clock.now().date() - A_YEAR).update(make_up_owed=False)


def retire_old_favourites() -> None:
    """The example keeps every favourite; who plays on for years makes room for newer ones."""
    from practice.models import Favourite
    from studio import clock

    old = clock.now().date() - A_YEAR
    Favourite.objects.filter(since__lt=old, retired=None).update(retired=old)


def print_every_week() -> None:
    """Each week without a sheet gets one of those that the example printed."""
    from practice.models import Sheet

    printed = list(Sheet.objects.order_by("pk").values_list("pk", flat=True)[:20])
    with connection.cursor() as cursor:
        for number, sheet in enumerate(printed):
            cursor.execute(
                "INSERT INTO practice_sheet (plan_id, edition, data, made) SELECT p.id, 1,"
                " (SELECT data FROM practice_sheet WHERE id = %s), p.changed FROM practice_plan p"
                " WHERE p.id %% %s = %s AND NOT EXISTS"
                " (SELECT 1 FROM practice_sheet s WHERE s.plan_id = p.id)",
                [sheet, len(printed), number],
            )


def tables() -> Iterable[tuple[str, float]]:
    """Size of each table and index in MB, the largest first."""
    with connection.cursor() as cursor:
        cursor.execute("VACUUM")
        cursor.execute("ANALYZE")
        cursor.execute("SELECT name, sum(pgsize) / 1e6 FROM dbstat GROUP BY name ORDER BY 2 DESC")
        return list(cursor.fetchall())
