"""A small term worked out by hand, and reports for paper."""

from __future__ import annotations

import datetime as dt

from practice.figures.key_circle import KeyHeld, Known
from practice.figures.lesson_fates import LessonFate
from practice.figures.tempo_lines import TempoLine, WeekTempo
from practice.figures.term_weeks import Off, WeekMinutes
from practice.models import Item, Plan
from practice.reports.data import NextLesson, PieceFinished, ReportData
from studio.models import Student
from tests.factories import ItemFactory, LogEntryFactory, PlanFactory

STARTS, ENDS = dt.date(2026, 9, 14), dt.date(2026, 12, 11)
MONDAYS = [STARTS + dt.timedelta(weeks=n) for n in range(13)]
WORDS = (
    "Imani leaves the term *listening*. She stops when a note rings.\n"
    "The low second finger was the battle of November, and she won it."
)


def played(
    student: Student, date: dt.date, part: str, planned: int, minutes: int | None, **more: object
) -> Item:
    """One item of a day; `minutes` None when nothing was heard of it."""
    tempo = more.pop("tempo", None)
    done = more.pop("done", True)
    plan = Plan.objects.filter(assignment__student=student).first()
    if plan is None:
        plan = PlanFactory.create(assignment__student=student, assignment__starts=STARTS)
    item: Item = ItemFactory.create(plan=plan, date=date, part=part, minutes=planned, **more)
    if minutes is not None:
        LogEntryFactory.create(item=item, minutes=minutes, tempo=tempo, done=done)
    return item


WEEKS = tuple(
    WeekMinutes(
        n,
        monday,
        min(monday + dt.timedelta(days=6), ENDS),
        0 if n == 8 else 145,
        (0,) * 6 if n == 8 else (20, 34, 14, 26, 16, 18),
        Off.CLOSED if n == 8 else None,
    )
    for n, monday in enumerate(MONDAYS, 1)
)


def report_data(**changes: object) -> ReportData:
    """A full report of thirteen weeks; week 8 was closed."""
    values: dict[str, object] = {
        "student": "Imani",
        "teacher": "Marisol",
        "term": "Autumn term 2026",
        "starts": STARTS,
        "ends": ENDS,
        "until": ENDS,
        "lessons": (*[LessonFate.KEPT] * 10, LessonFate.MADE_UP, LessonFate.MISSED),
        "weeks": WEEKS,
        "keys": (
            KeyHeld(1, False, "G", Known.LEARNT, True),
            KeyHeld(1, True, "E", Known.LEARNT, True),
            KeyHeld(0, False, "C", Known.NOW),
        ),
        "tempos": (
            TempoLine("Minuet in G", "bar 3", 80, (WeekTempo(6, 44), WeekTempo(13, 80))),
            TempoLine("Tram Number Nine", "bar 5", 72, (WeekTempo(11, 52), WeekTempo(13, 64))),
        ),
        "finished": (PieceFinished("Ode to Joy", dt.date(2026, 10, 2)),),
        "in_hand": ("Minuet in G",),
        "scale": "C major, 2 octaves",
        "later": 0,
        "next_lesson": NextLesson(dt.date(2027, 1, 6), dt.time(16, 15), True),
        "words": WORDS,
        "edition": 1,
        "given": ENDS,
    }
    return ReportData(**{**values, **changes})  # type: ignore[arg-type]
