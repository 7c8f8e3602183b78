"""What was done in a studio, for the teacher to read later."""

from __future__ import annotations

from django.db import models
from django.utils.translation import gettext_lazy as _
from django.utils.translation import pgettext_lazy


class What(models.TextChoices):
    """Kinds of doings; the label is what the page says."""

    SIGNED_IN = "signed-in", _("Signed in")
    SIGN_IN_FAILED = "sign-in-failed", _("A sign-in failed")
    SIGNED_OUT = "signed-out", _("Signed out")
    STUDIO_OPENED = "studio-opened", _("The studio was opened")
    PASSWORD_CHANGED = "password-changed", _("The password was changed")
    PASSWORD_REFUSED = "password-refused", _("A wrong password was typed")
    SETTINGS_CHANGED = "settings-changed", _("Settings were changed")
    LINK_MADE = "link-made", _("A private address was made")
    LINK_RENEWED = "link-renewed", _("A private address was renewed")
    LINK_REVOKED = "link-revoked", _("A private address was shut")
    BACKUP_MADE = "backup-made", _("A backup was made")
    BACKUP_DOWNLOADED = "backup-downloaded", _("A backup was downloaded")
    BACKUP_BROUGHT = "backup-brought", _("A backup was brought here")
    RESTORED = "restored", _("A backup was restored")
    UPGRADED = "upgraded", _("A new version was started")
    IMPORTED = "imported", _("Data was brought in")
    IMPORT_UNDONE = "import-undone", _("An import was undone")
    EXPORTED = "exported", _("Data was taken out")
    ERASED = "erased", _("Data was erased")
    REPORT_GIVEN = "report-given", _("A report was given")


class By(models.TextChoices):
    """Who did it."""

    TEACHER = "teacher", pgettext_lazy("who did it", "you")
    STRANGER = "stranger", _("somebody not signed in")
    COMMAND = "command", _("the command line")
    PROGRAM = "program", _("the program itself")


class RecordEntry(models.Model):
    """One thing done. Names stay where they belong: a family or student erased is gone here too.

    `studio` is None for a sign-in that named no account here.
    """

    studio = models.ForeignKey(
        "studio.Studio", on_delete=models.CASCADE, null=True, related_name="record"
    )
    moment = models.DateTimeField()
    what = models.CharField(max_length=20, choices=What.choices)
    by = models.CharField(max_length=10, choices=By.choices)
    address = models.GenericIPAddressField(null=True, blank=True)
    family = models.ForeignKey("studio.Family", on_delete=models.SET_NULL, null=True, blank=True)
    student = models.ForeignKey("studio.Student", on_delete=models.SET_NULL, null=True, blank=True)
    detail = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["-moment", "-pk"]
        verbose_name = _("line of the record")
        verbose_name_plural = _("lines of the record")
        indexes = [models.Index(fields=["studio", "-moment"], name="record_of_a_studio")]

    def __str__(self) -> str:
        return f"{self.moment:%Y-%m-%d %H:%M} {self.get_what_display()}"
