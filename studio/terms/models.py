"""Terms, and the days on which the studio is closed."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

from django.db import models
from django.db.models import F, Q

from studio.people.models import one_line

if TYPE_CHECKING:
    from studio.access.models import Studio


class TermQuerySet(models.QuerySet["Term"]):
    def of(self, studio: Studio) -> TermQuerySet:
        return self.filter(studio=studio)

    def on(self, day: dt.date) -> Term | None:
        """The term that holds this day."""
        return self.filter(starts__lte=day, ends__gte=day).first()


class Term(models.Model):
    """A stretch of weeks with lessons; both days belong to it."""

    studio = models.ForeignKey("studio.Studio", on_delete=models.CASCADE, related_name="terms")
    name = models.CharField(max_length=80, validators=[one_line])
    starts = models.DateField()
    ends = models.DateField()
    recital = models.DateField(null=True, blank=True)

    objects = TermQuerySet.as_manager()

    class Meta:
        ordering = ["starts"]
        constraints = [
            models.CheckConstraint(
                condition=Q(ends__gt=F("starts")),
                name="term_ends_after_start",
                violation_error_message="The term ends before it starts.",
            ),
            models.CheckConstraint(
                condition=Q(recital__isnull=True) | Q(recital__gte=F("starts")),
                name="term_recital_after_start",
                violation_error_message="The recital lies before the term.",
            ),
        ]

    def __str__(self) -> str:
        return self.name

    def recital_after(self, today: dt.date) -> dt.date | None:
        """The day of the recital while it is still to come."""
        return self.recital if self.recital and self.recital >= today else None


class Closure(models.Model):
    """Days without lessons inside or outside a term; both days belong to it."""

    studio = models.ForeignKey("studio.Studio", on_delete=models.CASCADE, related_name="closures")
    name = models.CharField(max_length=80, validators=[one_line])
    starts = models.DateField()
    ends = models.DateField()

    class Meta:
        ordering = ["starts"]
        constraints = [
            models.CheckConstraint(
                condition=Q(ends__gte=F("starts")),
                name="closure_ends_after_start",
                violation_error_message="The closure ends before it starts.",
            ),
        ]

    def __str__(self) -> str:
        return self.name
