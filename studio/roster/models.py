"""What one roster brought in, so that it can be taken back."""

from __future__ import annotations

from django.db import models
from django.utils.translation import gettext_lazy as _

from studio.people.models import one_line


class RosterImport(models.Model):
    """One list that was brought in, with the rows it made; a row that is deleted leaves it."""

    studio = models.ForeignKey("studio.Studio", on_delete=models.CASCADE, related_name="rosters")
    name = models.CharField(max_length=120, validators=[one_line], help_text=_("The file's name."))
    made = models.DateTimeField()
    families = models.ManyToManyField("studio.Family", related_name="+")
    guardians = models.ManyToManyField("studio.Guardian", related_name="+")
    students = models.ManyToManyField("studio.Student", related_name="+")

    class Meta:
        ordering = ["-made", "-pk"]

    def __str__(self) -> str:
        return self.name
