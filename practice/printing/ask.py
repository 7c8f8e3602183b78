"""Asking for a job: who is in it, in the order of lessons."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from django.db import IntegrityError, transaction
from django.http import HttpRequest
from django.utils.translation import gettext as _

from practice.home.sheet_code import sheet_codes
from practice.plans.models import Assignment, Sheet
from practice.printing import store, worker
from practice.printing.models import PrintJob, PrintPart
from practice.reports.overview import term_rows
from practice.sheets.freeze import freeze, sheet_of
from studio import clock
from studio.access.models import Studio
from studio.dates.weeks import DAYS_IN_WEEK
from studio.terms.models import Term


class NothingToPrint(ValueError):
    """There is no page; the text says of what."""


def print_reports(term: Term) -> PrintJob:
    """Every given report of the term. The job that is under way already, if there is one."""
    found = [
        PrintPart(student=row.student, report=row.given) for row in term_rows(term) if row.given
    ]
    if not found:
        raise NothingToPrint(_("No report of this term is given yet."))
    return _asked(PrintJob(studio=term.studio, kind=PrintJob.Kind.REPORTS, term=term), found)


def decided_weeks(studio: Studio, week: dt.date) -> list[Assignment]:
    """Those that begin in the seven days from `week`, in the order of the lessons they follow."""
    rows = Assignment.objects.filter(
        student__family__studio=studio,
        plan__isnull=False,
        starts__gte=week,
        starts__lt=week + dt.timedelta(days=DAYS_IN_WEEK),
    ).select_related("student__family__studio", "plan", "lesson", "idea")
    return sorted(rows, key=_lesson_order)


def decided_counts(studio: Studio, weeks: Sequence[dt.date]) -> dict[dt.date, int]:
    """How many weeks are decided in the seven days from each of these days. One query."""
    starts = list(
        Assignment.objects.filter(
            student__family__studio=studio,
            plan__isnull=False,
            starts__gte=min(weeks),
            starts__lt=max(weeks) + dt.timedelta(days=DAYS_IN_WEEK),
        ).values_list("starts", flat=True)
    )
    return {week: sum(0 <= (day - week).days < DAYS_IN_WEEK for day in starts) for week in weeks}


def _lesson_order(row: Assignment) -> tuple[dt.date, dt.time, str, int]:
    """By the lesson; a week without one stands after the lessons of its first day."""
    if row.lesson is not None:
        return row.lesson.date, row.lesson.starts, row.student.given_name, row.pk
    return row.starts, dt.time.max, row.student.given_name, row.pk


def print_sheets(request: HttpRequest, studio: Studio, week: dt.date) -> PrintJob:
    """The sheet of every week decided; one that was not printed yet is frozen as it is now."""
    rows = decided_weeks(studio, week)
    if not rows:
        raise NothingToPrint(_("No week is decided yet that begins in these seven days."))
    running = PrintJob.objects.unfinished().filter(studio=studio, week=week).first()
    if running is not None:
        return running
    with transaction.atomic():
        sheets = Sheet.objects.filter(plan__assignment__in=rows).defer("data")
        latest = {sheet.plan_id: sheet for sheet in sheets.order_by("edition")}
        found = [
            PrintPart(student=row.student, sheet=_sheet(request, row, latest.get(row.plan.pk)))
            for row in rows
        ]
    return _asked(PrintJob(studio=studio, kind=PrintJob.Kind.SHEETS, week=week), found)


def _sheet(request: HttpRequest, row: Assignment, latest: Sheet | None) -> Sheet:
    """The latest, unless the week was decided again since."""
    if latest is not None and latest.made >= row.plan.changed:
        return latest
    return freeze(row.plan, sheet_of(row, sheet_codes(request, row.student)))


def _asked(job: PrintJob, parts: Sequence[PrintPart]) -> PrintJob:
    job.asked = clock.now()
    try:
        with transaction.atomic():
            job.save(force_insert=True)
            for number, part in enumerate(parts, 1):
                part.job, part.number = job, number
            PrintPart.objects.bulk_create(parts)
    except IntegrityError:  # asked twice: the one under way is the one that is wanted
        same = PrintJob.objects.unfinished().filter(studio=job.studio, term=job.term, week=job.week)
        return same.get()
    worker.wake()
    return job


def cancel(job: PrintJob) -> bool:
    """Ends it where it stands; whether there was anything to end."""
    running = PrintJob.objects.unfinished().filter(pk=job.pk)
    ended = bool(running.update(state=PrintJob.State.CANCELLED, ended=clock.now()))
    if ended:
        store.drop(job.pk)
    return ended


def throw_away(job: PrintJob) -> None:
    """The job and its files, whatever state it is in."""
    pk = job.pk
    job.delete()
    store.drop(pk)
