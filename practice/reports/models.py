"""A term's report of one student: a draft until it is given, then an edition for good."""

from __future__ import annotations

from typing import Any

from django.core.validators import MaxLengthValidator
from django.db import models
from django.db.models import Q

MOST_WORDS = 20_000  # characters


class AlreadyGiven(ValueError):
    """A report that was given never changes; a correction is the next edition."""

    def __init__(self, report: Report) -> None:
        # no words: nothing offers it
        super().__init__(f"Edition {report.edition} was given and cannot change.")


class ReportQuerySet(models.QuerySet["Report"]):
    def drafts(self) -> ReportQuerySet:
        return self.filter(given=None)

    def given(self) -> ReportQuerySet:
        return self.exclude(given=None)


class Report(models.Model):
    """`words` are the teacher's; `figures` are frozen with `given` and hold all else it shows."""

    student = models.ForeignKey("studio.Student", on_delete=models.CASCADE, related_name="reports")
    term = models.ForeignKey("studio.Term", on_delete=models.PROTECT, related_name="reports")
    words = models.TextField(blank=True, validators=[MaxLengthValidator(MOST_WORDS)])
    edition = models.PositiveSmallIntegerField(default=1)
    figures = models.JSONField(null=True, blank=True)
    given = models.DateTimeField(null=True, blank=True)
    changed = models.DateTimeField(auto_now=True)

    objects = ReportQuerySet.as_manager()

    class Meta:
        ordering = ["term", "student", "edition"]
        constraints = [
            models.UniqueConstraint(
                fields=["student", "term", "edition"], name="report_edition_once"
            ),
            models.UniqueConstraint(
                fields=["student", "term"], condition=Q(given=None), name="report_one_draft"
            ),
            models.CheckConstraint(
                condition=Q(given__isnull=True, figures__isnull=True)
                | Q(given__isnull=False, figures__isnull=False),
                name="report_frozen_when_given",
            ),
            models.CheckConstraint(condition=Q(edition__gte=1), name="report_edition_from_one"),
        ]

    def __str__(self) -> str:
        # no words: for programmers
        return f"{self.student}, {self.term}, edition {self.edition}"

    def save(self, *args: Any, **kwargs: Any) -> None:
        """Raises AlreadyGiven for a row that was given."""
        if self.pk and Report.objects.given().filter(pk=self.pk).exists():
            raise AlreadyGiven(self)
        super().save(*args, **kwargs)
