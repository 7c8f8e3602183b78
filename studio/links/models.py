"""Private links that open one child's page, or a family's calendar, without a password."""

from __future__ import annotations

import uuid

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from studio.people.models import one_line


class PrivateLink(models.Model):
    """What every private link has. Only the SHA-256 of its secret is kept.

    The secret is made from the installation's key and `seed`: the program can show it again,
    while the database alone, or a copy of it, opens nothing.
    """

    label = models.CharField(max_length=80, blank=True, validators=[one_line])
    seed = models.UUIDField(default=uuid.uuid4, editable=False)
    token_hash = models.CharField(max_length=64, unique=True)
    created = models.DateTimeField(auto_now_add=True)
    expires = models.DateTimeField(null=True, blank=True)
    revoked = models.DateTimeField(null=True, blank=True)
    last_used = models.DateTimeField(null=True, blank=True)

    class Meta:
        abstract = True
        ordering = ["-created"]


class HomeLink(PrivateLink):
    """A link someone at home holds.

    Those of the family and of one child are for grown-ups. The sheet's own belongs to the child
    on whose paper it stands, and shows nothing that is meant for grown-ups.
    """

    class Opens(models.TextChoices):
        FAMILY = "family", _("all children of the family")
        STUDENT = "student", _("one child")
        SHEET = "sheet", _("one child, from the printed sheet")
        CALENDAR = "calendar", _("the family's lesson calendar")

    opens = models.CharField(max_length=8, choices=Opens.choices)
    family = models.ForeignKey("studio.Family", on_delete=models.CASCADE, related_name="links")
    student = models.ForeignKey(
        "studio.Student", on_delete=models.CASCADE, null=True, blank=True, related_name="links"
    )

    class Meta(PrivateLink.Meta):
        constraints = [
            models.CheckConstraint(
                condition=Q(opens__in=["student", "sheet"], student__isnull=False)
                | (~Q(opens__in=["student", "sheet"]) & Q(student__isnull=True)),
                name="homelink_names_a_student_only_for_one_child",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_opens_display()} ({self.family})"


class TeacherLink(PrivateLink):
    """The address of the teacher's own lesson calendar."""

    studio = models.ForeignKey(
        "studio.Studio", on_delete=models.CASCADE, related_name="teacher_links"
    )

    class Meta(PrivateLink.Meta):
        pass

    def __str__(self) -> str:
        # no words: for programmers
        return f"calendar of {self.studio}"
