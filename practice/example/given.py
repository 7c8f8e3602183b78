"""What homes were given: the report of the term before, and the running week's sheet."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from random import Random
from typing import Final
from zoneinfo import ZoneInfo

from practice.example.cast import load_sentences
from practice.example.seasons import Year
from practice.plans.models import Assignment
from practice.reports import editions
from practice.reports.data import ReportData
from practice.reports.figures import term_figures
from practice.reports.models import Report
from practice.reports.starters import starters
from practice.sheets.freeze import freeze, sheet_of
from studio.access.models import Studio
from studio.people.models import Student
from studio.terms.models import Term

EVENING: Final = dt.time(20, 15)
WITH_FIGURES: Final = ("lessons", "keys", "pieces", "next")


def give_reports(studio: Studio, year: Year, students: Iterable[Student], seed: int) -> None:
    """Everybody's of the last term that is over, two days after its end."""
    over = [term for term in Term.objects.of(studio) if term.ends < year.today]
    if not over:
        return
    term = max(over, key=lambda each: each.ends)
    day = term.ends + dt.timedelta(days=2)
    here = [each for each in students if each.started <= term.ends - dt.timedelta(weeks=8)]
    figures = term_figures(term, here, day)
    rng = Random(f"{seed}:reports")  # noqa: S311
    given = dt.datetime.combine(day, EVENING, ZoneInfo(studio.zone)).astimezone(dt.UTC)
    for student in here:
        words = _words(figures[student.pk], rng)
        draft = Report.objects.create(student=student, term=term, words=words)
        editions.give(draft, figures[student.pk], None, given, studio.zone)


def _words(data: ReportData, rng: Random) -> str:
    said = load_sentences()["reports"]
    figures = [each.text for each in starters(data) if each.key in WITH_FIGURES]
    first, last = rng.choice(said["first"]), rng.choice(said["last"])
    return f"{first.format(name=data.student)}\n{' '.join(figures[:3])}\n{last}"


def print_sheets(studio: Studio, today: dt.date) -> None:
    """As printed, of every running week that says it was."""
    weeks = Assignment.objects.filter(
        student__family__studio=studio,
        starts__range=(today - dt.timedelta(days=6), today),
        printed__isnull=False,
        plan__isnull=False,
    )
    for week in weeks.select_related("plan", "lesson", "student__family__studio"):
        freeze(week.plan, sheet_of(week))
