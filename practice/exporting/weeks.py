"""Weeks and what came back of them, lessons, recitals, reports, prints."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress

from django.db.models import Q, QuerySet

from practice.exporting.numbers import (
    IN_HAND,
    assignment,
    ideas,
    keys,
    plan,
    report,
    sheet,
    without_addresses,
)
from practice.exporting.whose import OF_LESSON, OF_PLAN, OF_STUDENT
from practice.models import (
    Assignment,
    Item,
    LessonNote,
    LogEntry,
    Mark,
    Performance,
    Plan,
    PrintJob,
    PrintPart,
    Programme,
    Receipt,
    Report,
    ScaleHeard,
    Sheet,
    Thanks,
    Word,
)
from practice.printing.ask import throw_away
from practice.reports import editions
from practice.reports.render import ReportTooLong, report_pdf
from studio.access.models import Studio
from studio.export.rules import Rule, Table, who


def given(reports: QuerySet[Report]) -> Iterator[tuple[int, bytes]]:
    """Each given edition as it was printed. Raises PrintingMissing without Pango."""
    for each in reports.filter(given__isnull=False).select_related("student", "term"):
        with suppress(ReportTooLong):
            yield each.pk, report_pdf(editions.as_given(each))


def drop_prints(studio: Studio) -> None:
    """Prints for the whole studio hold everybody; they are made anew when they are wanted."""
    for job in PrintJob.objects.of(studio):
        throw_away(job)


RULES = (
    Rule(
        Assignment,
        **OF_STUDENT,
        after=IN_HAND,
        relink=assignment,
        plain=("minutes",),
        private=("to_check",),
        table=Table(
            "Weeks",
            {
                **who(),
                "week from": "starts",
                "listen for": "listen_for",
                "to check": "to_check",
            },
            one="week",
        ),
    ),
    Rule(
        Plan,
        belongs="assignment__student__family__studio",
        family="assignment__student__family",
        after=(*IN_HAND, "practice.idea"),
        mentions={"practice.idea": ideas},
        relink=plan,
    ),
    Rule(
        Item,
        belongs=f"{OF_PLAN}__studio",
        family=OF_PLAN,
        after=IN_HAND,
        relink=keys("key"),
        plain=("key",),
        gone=("detail", "reason"),
        table=Table(
            "Things to practise",
            {
                "day": "date",
                **who("plan__assignment__student"),
                "what": "title",
                "minutes planned": "minutes",
                "played": "log__done",
                "minutes played": "log__minutes",
                "tempo": "log__tempo",
            },
            one="thing to practise",
        ),
    ),
    Rule(
        Sheet,
        belongs=f"{OF_PLAN}__studio",
        family=OF_PLAN,
        hide=without_addresses,
        relink=sheet,
    ),
    Rule(
        LogEntry,
        belongs=f"item__{OF_PLAN}__studio",
        family=f"item__{OF_PLAN}",
        gone=("ticked", "logged"),
    ),
    Rule(
        Word,
        **OF_STUDENT,
        table=Table(
            "Words from home", {"day": "date", **who(), "word": "text"}, one="word from home"
        ),
    ),
    Rule(Receipt, **OF_STUDENT),
    Rule(
        Mark,
        **OF_LESSON,
        table=Table(
            "Things heard at lessons",
            {
                "day": "lesson__date",
                **who("lesson__student"),
                "what": "aspect",
                "heard": "heard",
            },
            one="thing heard at a lesson",
        ),
    ),
    Rule(ScaleHeard, **OF_LESSON),
    Rule(
        LessonNote,
        **OF_LESSON,
        private_rows=Q(on_sheet=False),
        table=Table(
            "Notes on lessons",
            {
                "day": "lesson__date",
                **who("lesson__student"),
                "note": "text",
            },
            one="note on a lesson",
        ),
    ),
    Rule(Programme, belongs="recital__studio"),
    Rule(
        Performance,
        **OF_STUDENT,
        table=Table(
            "Recital pieces",
            {
                **who(),
                "recital": "programme__recital__name",
                "day": "programme__recital__date",
                "composer": "work__composer",
                "piece": "work__title",
            },
            one="recital piece",
        ),
    ),
    Rule(
        Thanks,
        **OF_STUDENT,
        table=Table(
            "Thanks at recitals",
            {**who(), "recital": "programme__recital__name", "words": "words"},
            one="thanks at a recital",
        ),
    ),
    Rule(
        PrintJob,
        belongs="studio",
        stays="a print of the last days",
        plain=("worker",),
        forget=drop_prints,
    ),
    Rule(
        PrintPart,
        belongs="job__studio",
        stays="a page of such a print",
    ),
    Rule(
        Report,
        **OF_STUDENT,
        relink=report,
        private_rows=Q(given=None),
        papers=given,
        table=Table(
            "Reports",
            {
                **who(),
                "term": "term__name",
                "edition": "edition",
                "given": "given",
                "words": "words",
            },
            one="report",
        ),
    ),
)
