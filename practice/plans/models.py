"""The decision of one lesson, the week built from it, and the sheets printed of it."""

from __future__ import annotations

from typing import Any

from django.db import models
from django.db.models import Q, Sum
from django.utils.translation import gettext_lazy as _

from practice.planning.types import Part
from studio.fields import PackedJSONField

PARTS = [(part.value, part.value.replace("_", " ")) for part in Part]


class AssignmentQuerySet(models.QuerySet["Assignment"]):
    def with_minutes(self) -> AssignmentQuerySet:
        """Adds `planned` and `logged`: minutes of the built week, None where none is built."""
        done = Q(plan__items__log__done=True)
        return self.annotate(
            planned=Sum("plan__items__minutes"),
            logged=Sum("plan__items__log__minutes", filter=done),
        )


class Assignment(models.Model):
    """What the teacher decided at one lesson; its week starts on `starts` and has seven days.

    `minutes` are the seven budgets from the first day on. `revision` rises with every save,
    so that two windows on one Bench cannot overwrite each other in silence.
    """

    student = models.ForeignKey(
        "studio.Student", on_delete=models.CASCADE, related_name="assignments"
    )
    lesson = models.ForeignKey(
        "studio.Lesson",
        on_delete=models.SET_NULL,
        null=True,
        blank=True,
        related_name="assignments",
    )
    starts = models.DateField()
    minutes = models.JSONField(default=list)
    listen_for = models.CharField(max_length=240, blank=True)
    to_check = models.CharField(max_length=240, blank=True, help_text=_("For the teacher alone."))
    favourite = models.ForeignKey(
        "practice.Favourite", on_delete=models.SET_NULL, null=True, blank=True, related_name="+"
    )
    idea = models.ForeignKey(
        "practice.Idea", on_delete=models.SET_NULL, null=True, blank=True, related_name="+"
    )
    pins = models.JSONField(default=dict, blank=True)
    revision = models.PositiveIntegerField(default=1)
    decided = models.DateTimeField(auto_now_add=True)
    changed = models.DateTimeField(auto_now=True)
    printed = models.DateTimeField(null=True, blank=True)
    sent = models.DateTimeField(null=True, blank=True)

    objects = AssignmentQuerySet.as_manager()

    class Meta:
        ordering = ["-starts"]
        constraints = [
            models.UniqueConstraint(fields=["student", "starts"], name="assignment_once_a_week"),
        ]
        indexes = [
            models.Index(
                fields=["starts"],
                condition=Q(printed__isnull=True, sent__isnull=True),
                name="assignment_still_to_give",
            )
        ]

    def __str__(self) -> str:
        return f"{self.student}, {self.starts}"


class Plan(models.Model):
    """The week as built: its inputs and the builder's version, so that it can be built again.

    `details` says of each item, by its key, what it is: the same on every day of the week.
    """

    assignment = models.OneToOneField(Assignment, on_delete=models.CASCADE, related_name="plan")
    builder_version = models.PositiveSmallIntegerField()
    inputs = PackedJSONField()
    details = PackedJSONField(default=dict)
    changed = models.DateTimeField(auto_now=True)

    def __str__(self) -> str:
        return f"{self.assignment}"


def _what(model: str, related_name: str = "+") -> models.ForeignKey[Any, Any]:
    """What an item is about. Most rows leave most of them empty: their indexes hold the others."""
    return models.ForeignKey(
        model,
        on_delete=models.SET_NULL,
        null=True,
        blank=True,
        related_name=related_name,
        db_index=False,
    )


class Item(models.Model):
    """One part on one day. `key` is stable inside the plan ("etude", "spot:41").

    An item that was logged and then left the plan stays with zero planned minutes.
    """

    # Found by the constraint below, which begins with it.
    plan = models.ForeignKey(Plan, on_delete=models.CASCADE, related_name="items", db_index=False)
    date = models.DateField()
    session = models.PositiveSmallIntegerField(default=1)
    position = models.PositiveSmallIntegerField()
    key = models.CharField(max_length=40)
    part = models.CharField(max_length=12, choices=PARTS)
    minutes = models.PositiveSmallIntegerField()
    title = models.CharField(max_length=200)
    piece = _what("practice.PieceInHand")
    spot = _what("practice.Spot", "items")
    scale = _what("practice.ScaleInHand")

    class Meta:
        ordering = ["date", "session", "position"]
        constraints = [
            models.UniqueConstraint(fields=["plan", "date", "key"], name="item_once_a_day"),
            models.CheckConstraint(condition=Q(session__in=[1, 2, 3]), name="item_session"),
        ]
        indexes = [
            models.Index(
                fields=[name], condition=Q(**{f"{name}__isnull": False}), name=f"item_of_{name}"
            )
            for name in ("piece", "spot", "scale")
        ]

    def __str__(self) -> str:
        return f"{self.date} {self.title}"

    @property
    def detail(self) -> str:
        """Needs its plan beside it."""
        return str(self.plan.details.get(self.key, ""))


class Sheet(models.Model):
    """A printed sheet, frozen: printing it again gives the same content."""

    plan = models.ForeignKey(Plan, on_delete=models.CASCADE, related_name="sheets")
    edition = models.PositiveSmallIntegerField(default=1)
    data = PackedJSONField()
    made = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-made"]
        constraints = [
            models.UniqueConstraint(fields=["plan", "edition"], name="sheet_edition_once"),
        ]

    def __str__(self) -> str:
        return f"{self.plan} ({self.edition})"
