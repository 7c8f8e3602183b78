"""Printing for the whole studio: a job, and in it the pages of each student."""

from __future__ import annotations

import datetime as dt
import uuid
from typing import TYPE_CHECKING

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext, pgettext_lazy
from django.utils.translation import gettext_lazy as _

from studio.web.days import long_day

if TYPE_CHECKING:
    from studio.access.models import Studio

KEPT_FOR = dt.timedelta(days=7)
SILENT_FOR = dt.timedelta(seconds=15)  # after which a job's worker is taken for gone
UNFINISHED = ("waiting", "working")


class PrintJobQuerySet(models.QuerySet["PrintJob"]):
    def of(self, studio: Studio) -> PrintJobQuerySet:
        return self.filter(studio=studio)

    def unfinished(self) -> PrintJobQuerySet:
        return self.filter(state__in=UNFINISHED)

    def free(self, now: dt.datetime) -> PrintJobQuerySet:
        """Those nobody works on: never begun, or silent; a clock set back makes a beat to come."""
        heard = Q(beat__gte=now - SILENT_FOR, beat__lte=now + SILENT_FOR)
        return self.filter(Q(state="waiting") | (Q(state="working") & ~heard))

    def expired(self, now: dt.datetime) -> PrintJobQuerySet:
        return self.filter(ended__lte=now - KEPT_FOR)


class PrintJob(models.Model):
    """`worker` is who holds the job and `beat` when it was last heard of; a job whose worker fell
    silent is taken up by another from what is drawn. Its files carry its key, which no other job
    of any installation has: a restored database never finds a stranger's pages."""

    class Kind(models.TextChoices):
        REPORTS = "reports", _("Reports")
        SHEETS = "sheets", _("Sheets")

    class State(models.TextChoices):
        WAITING = "waiting", pgettext_lazy("a print", "waiting")
        WORKING = "working", pgettext_lazy("a print", "being drawn")
        READY = "ready", pgettext_lazy("a print", "ready")
        CANCELLED = "cancelled", pgettext_lazy("a print", "cancelled")
        FAILED = "failed", pgettext_lazy("a print", "not printed")

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    studio = models.ForeignKey("studio.Studio", on_delete=models.CASCADE, related_name="print_jobs")
    kind = models.CharField(max_length=7, choices=Kind.choices)
    term = models.ForeignKey("studio.Term", on_delete=models.CASCADE, null=True, related_name="+")
    week = models.DateField(null=True, help_text=_("First day of the week whose sheets these are."))
    state = models.CharField(max_length=9, choices=State.choices, default=State.WAITING)
    asked = models.DateTimeField()
    worker = models.CharField(max_length=40, blank=True)
    beat = models.DateTimeField(null=True)
    ended = models.DateTimeField(null=True)
    trouble = models.CharField(max_length=400, blank=True)

    objects = PrintJobQuerySet.as_manager()

    class Meta:
        ordering = ["-asked"]
        constraints = [
            models.CheckConstraint(
                condition=Q(kind="reports", term__isnull=False, week__isnull=True)
                | Q(kind="sheets", term__isnull=True, week__isnull=False),
                name="printjob_of_a_term_or_a_week",
            ),
            models.CheckConstraint(
                condition=Q(state__in=UNFINISHED, ended__isnull=True)
                | (~Q(state__in=UNFINISHED) & Q(ended__isnull=False)),
                name="printjob_ended_when_over",
            ),
            models.UniqueConstraint(
                fields=["term"], condition=Q(state__in=UNFINISHED), name="printjob_term_once"
            ),
            models.UniqueConstraint(
                fields=["studio", "week"],
                condition=Q(state__in=UNFINISHED),
                name="printjob_week_once",
            ),
        ]

    def __str__(self) -> str:
        return self.title

    @property
    def title(self) -> str:
        if self.term is not None:
            return gettext("Reports of {term}").format(term=self.term.name)
        day = long_day(self.week) if self.week else ""
        return gettext("Sheets of the week of {day}").format(day=day)

    @property
    def unfinished(self) -> bool:
        return self.state in UNFINISHED

    @property
    def kept_until(self) -> dt.datetime | None:
        return self.ended + KEPT_FOR if self.ended else None


class PrintPartQuerySet(models.QuerySet["PrintPart"]):
    def to_draw(self) -> PrintPartQuerySet:
        return self.filter(drawn=False, trouble="")

    def done(self) -> PrintPartQuerySet:
        return self.exclude(drawn=False, trouble="")


class PrintPart(models.Model):
    """One student's pages at their place in the order of lessons; `trouble` says why there are
    none. `number` is counted from 1."""

    job = models.ForeignKey(PrintJob, on_delete=models.CASCADE, related_name="parts")
    number = models.PositiveSmallIntegerField()
    student = models.ForeignKey("studio.Student", on_delete=models.CASCADE, related_name="+")
    report = models.ForeignKey(
        "practice.Report", on_delete=models.CASCADE, null=True, related_name="+"
    )
    sheet = models.ForeignKey(
        "practice.Sheet", on_delete=models.CASCADE, null=True, related_name="+"
    )
    drawn = models.BooleanField(default=False)
    trouble = models.CharField(max_length=400, blank=True)

    objects = PrintPartQuerySet.as_manager()

    class Meta:
        ordering = ["job", "number"]
        constraints = [
            models.UniqueConstraint(fields=["job", "number"], name="printpart_place_once"),
            models.CheckConstraint(
                condition=Q(report__isnull=True) ^ Q(sheet__isnull=True),
                name="printpart_report_or_sheet",
            ),
            models.CheckConstraint(
                condition=Q(drawn=False) | Q(trouble=""), name="printpart_drawn_or_in_trouble"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.job_id}, {self.number}"
