"""A report from draft to given, and a correction as the next edition."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import replace
from zoneinfo import ZoneInfo

from django.utils.translation import gettext as _

from practice.reports.data import ReportData
from practice.reports.models import Report
from studio.people.models import Student
from studio.terms.models import Term


class NothingToGive(ValueError):
    """There is no draft, or it has no words."""


def editions_of(term: Term, students: Iterable[int]) -> dict[int, list[Report]]:
    """By student, oldest first; the last may be a draft. One query."""
    found: dict[int, list[Report]] = {}
    rows = Report.objects.filter(term=term, student__in=students)
    for row in rows.order_by("edition"):
        found.setdefault(row.student_id, []).append(row)
    return found


def given_of(student: Student) -> list[Report]:
    """Of each term the latest edition that was given, the latest term first. One query."""
    rows = Report.objects.given().filter(student=student).select_related("term")
    latest = {row.term_id: row for row in rows.order_by("edition")}
    return sorted(latest.values(), key=lambda row: row.term.starts, reverse=True)


def keep_words(term: Term, student: Student, words: str) -> Report | None:
    """Writes the draft. None where the latest edition was given, which stays as it is."""
    latest = Report.objects.filter(term=term, student=student).order_by("-edition").first()
    if latest is None:
        return Report.objects.create(term=term, student=student, words=words)
    if latest.given is not None:
        return None
    latest.words = words
    latest.save(update_fields=["words", "changed"])
    return latest


def correct(latest: Report) -> Report:
    """The next edition as a draft with the same words."""
    draft, _new = Report.objects.get_or_create(
        term=latest.term,
        student=latest.student,
        given=None,
        defaults={"edition": latest.edition + 1, "words": latest.words},
    )
    return draft


def shown(report: Report | None, figures: ReportData, before: Report | None) -> ReportData:
    """A draft with the figures of the day, or a given edition exactly as it was given."""
    if report is not None and report.given is not None:
        return as_given(report)
    words = report.words if report is not None else ""
    edition = report.edition if report is not None else 1
    return replace(figures, words=words, edition=edition, replaces=_replaced(before))


def as_given(report: Report) -> ReportData:
    """What was frozen, with the words that were given with it."""
    return replace(ReportData.from_json(report.figures), words=report.words)


def give(
    draft: Report, figures: ReportData, before: Report | None, now: dt.datetime, zone: str
) -> Report:
    """Freezes the draft. Raises NothingToGive without words or where it was given meanwhile."""
    if not draft.words.strip():
        raise NothingToGive(no_words(figures.student))
    frozen = replace(
        figures,
        edition=draft.edition,
        given=now.astimezone(ZoneInfo(zone)).date(),
        replaces=_replaced(before),
    )
    # One conditional write: of two windows only one gives.
    written = Report.objects.drafts().filter(pk=draft.pk, words=draft.words)
    if not written.update(figures=frozen.to_json(), given=now, changed=now):
        words = _("The report of {name} was changed in another window.")
        raise NothingToGive(words.format(name=figures.student))
    draft.refresh_from_db()
    return draft


def no_words(name: str) -> str:
    return _("The report of {name} has no words yet.").format(name=name)


def _replaced(before: Report | None) -> dt.date | None:
    return ReportData.from_json(before.figures).given if before is not None else None
