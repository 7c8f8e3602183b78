"""Files with the notes of a work, as the teacher dropped them."""

from __future__ import annotations

from django.db import models
from django.utils.translation import gettext_lazy as _

from practice.repertoire.library import Work
from studio.people.models import one_line


class Score(models.Model):
    """One file of one studio, kept as it came.

    It lies in the database, not beside it, so that every backup and every move to another
    computer holds it; a score is 5 MB at most, a usual one 50 kB.
    """

    studio = models.ForeignKey("studio.Studio", on_delete=models.CASCADE, related_name="scores")
    work = models.ForeignKey(Work, on_delete=models.PROTECT, related_name="scores")
    name = models.CharField(max_length=120, validators=[one_line], help_text=_("The file's name."))
    data = models.BinaryField()
    digest = models.CharField(max_length=64, help_text=_("SHA-256 of the file."))
    bars = models.PositiveSmallIntegerField()
    added = models.DateTimeField()

    class Meta:
        ordering = ["-added", "-pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["studio", "work", "digest"],
                name="score_each_file_once",
                violation_error_message=_("This very file is already there."),
            ),
        ]

    def __str__(self) -> str:
        return self.name
