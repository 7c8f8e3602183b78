"""Weeks and what came back of them, lessons, recitals, reports, prints."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress

from django.db.models import Q, QuerySet
from django.utils.translation import gettext_lazy as _
from django.utils.translation import npgettext_lazy, pgettext_lazy

from practice.exporting.earlier import details
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
        many=pgettext_lazy("rows", "assignments"),
        **OF_STUDENT,
        after=IN_HAND,
        relink=assignment,
        plain=("minutes",),
        private=("to_check",),
        table=Table(
            _("Weeks"),
            (
                *who(),
                (_("week from"), "starts"),
                (_("listen for"), "listen_for"),
                (_("to check"), "to_check"),
            ),
            count=npgettext_lazy("rows", "week", "weeks"),
        ),
    ),
    Rule(
        Plan,
        many=pgettext_lazy("rows", "plans"),
        belongs="assignment__student__family__studio",
        family="assignment__student__family",
        after=(*IN_HAND, "practice.idea"),
        mentions={"practice.idea": ideas},
        relink=plan,
    ),
    Rule(
        Item,
        many=pgettext_lazy("rows", "items"),
        belongs=f"{OF_PLAN}__studio",
        family=OF_PLAN,
        after=IN_HAND,
        relink=keys("key"),
        plain=("key",),
        gone=("detail", "reason"),
        earlier=details,
        table=Table(
            _("Things to practise"),
            (
                (_("day"), "date"),
                *who("plan__assignment__student"),
                (pgettext_lazy("heading", "what"), "title"),
                (_("minutes planned"), "minutes"),
                (pgettext_lazy("heading", "played"), "log__done"),
                (_("minutes played"), "log__minutes"),
                (_("tempo"), "log__tempo"),
            ),
            count=npgettext_lazy("rows", "thing to practise", "things to practise"),
        ),
    ),
    Rule(
        Sheet,
        many=pgettext_lazy("rows", "sheets"),
        belongs=f"{OF_PLAN}__studio",
        family=OF_PLAN,
        hide=without_addresses,
        relink=sheet,
    ),
    Rule(
        LogEntry,
        many=pgettext_lazy("rows", "log entries"),
        belongs=f"item__{OF_PLAN}__studio",
        family=f"item__{OF_PLAN}",
        gone=("ticked", "logged"),
    ),
    Rule(
        Word,
        many=pgettext_lazy("rows", "words"),
        **OF_STUDENT,
        table=Table(
            _("Words from home"),
            ((_("day"), "date"), *who(), (pgettext_lazy("heading", "word"), "text")),
            count=npgettext_lazy("rows", "word from home", "words from home"),
        ),
    ),
    Rule(Receipt, many=pgettext_lazy("rows", "receipts"), **OF_STUDENT),
    Rule(
        Mark,
        many=pgettext_lazy("rows", "marks"),
        **OF_LESSON,
        table=Table(
            _("Things heard at lessons"),
            (
                (_("day"), "lesson__date"),
                *who("lesson__student"),
                (pgettext_lazy("heading", "what"), "aspect"),
                (pgettext_lazy("heading", "heard"), "heard"),
            ),
            count=npgettext_lazy("rows", "thing heard at a lesson", "things heard at lessons"),
        ),
    ),
    Rule(ScaleHeard, many=pgettext_lazy("rows", "scales heard"), **OF_LESSON),
    Rule(
        LessonNote,
        many=pgettext_lazy("rows", "lesson notes"),
        **OF_LESSON,
        private_rows=Q(on_sheet=False),
        table=Table(
            _("Notes on lessons"),
            (
                (_("day"), "lesson__date"),
                *who("lesson__student"),
                (_("note"), "text"),
            ),
            count=npgettext_lazy("rows", "note on a lesson", "notes on lessons"),
        ),
    ),
    Rule(Programme, many=pgettext_lazy("rows", "programmes"), belongs="recital__studio"),
    Rule(
        Performance,
        many=pgettext_lazy("rows", "performances"),
        **OF_STUDENT,
        table=Table(
            _("Recital pieces"),
            (
                *who(),
                (_("recital"), "programme__recital__name"),
                (_("day"), "programme__recital__date"),
                (_("composer"), "work__composer"),
                (_("piece"), "work__title"),
            ),
            count=npgettext_lazy("rows", "recital piece", "recital pieces"),
        ),
    ),
    Rule(
        Thanks,
        many=pgettext_lazy("rows", "thanks"),
        **OF_STUDENT,
        table=Table(
            _("Thanks at recitals"),
            (
                *who(),
                (_("recital"), "programme__recital__name"),
                (pgettext_lazy("heading", "words"), "words"),
            ),
            count=npgettext_lazy("rows", "thanks at a recital", "thanks at recitals"),
        ),
    ),
    Rule(
        PrintJob,
        many=pgettext_lazy("rows", "print jobs"),
        belongs="studio",
        stays="a print of the last days",  # no words: for programmers
        plain=("worker",),
        forget=drop_prints,
    ),
    Rule(
        PrintPart,
        many=pgettext_lazy("rows", "print parts"),
        belongs="job__studio",
        stays="a page of such a print",  # no words: for programmers
    ),
    Rule(
        Report,
        many=pgettext_lazy("rows", "reports"),
        **OF_STUDENT,
        relink=report,
        private_rows=Q(given=None),
        papers=given,
        table=Table(
            _("Reports"),
            (
                *who(),
                (_("term"), "term__name"),
                (_("edition"), "edition"),
                (pgettext_lazy("heading", "given"), "given"),
                (pgettext_lazy("heading", "words"), "words"),
            ),
            count=npgettext_lazy("rows", "report", "reports"),
        ),
    ),
)
