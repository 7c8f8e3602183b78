"""What stays of a family that was erased, by the teacher's choice: figures without names."""

from __future__ import annotations

from django.db import models
from django.utils.translation import gettext_lazy as _


class SetApart(models.Model):
    """The ledger of one erased family. `label` is "Family 3"; it names nobody.

    `lines` is a list of {"student": 1, "date": "2026-11-25", "starts": "16:15", "minutes": 30,
    "status": "kept"}; students are numbered within the family.
    """

    studio = models.ForeignKey("studio.Studio", on_delete=models.CASCADE, related_name="set_apart")
    label = models.CharField(max_length=40)
    erased = models.DateField()
    lines = models.JSONField(default=list)

    class Meta:
        ordering = ["erased", "pk"]
        verbose_name_plural = _("ledgers set apart")

    def __str__(self) -> str:
        return self.label
