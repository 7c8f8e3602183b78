"""What was done in a studio, for the teacher to read later."""

from __future__ import annotations

from django.db import models


class What(models.TextChoices):
    """Kinds of doings; the label is what the page says."""

    SIGNED_IN = "signed-in", "Signed in"
    SIGN_IN_FAILED = "sign-in-failed", "A sign-in failed"
    SIGNED_OUT = "signed-out", "Signed out"
    STUDIO_OPENED = "studio-opened", "The studio was opened"
    PASSWORD_CHANGED = "password-changed", "The password was changed"
    PASSWORD_REFUSED = "password-refused", "A wrong password was typed"
    SETTINGS_CHANGED = "settings-changed", "Settings were changed"
    LINK_MADE = "link-made", "A private address was made"
    LINK_RENEWED = "link-renewed", "A private address was renewed"
    LINK_REVOKED = "link-revoked", "A private address was shut"
    BACKUP_MADE = "backup-made", "A backup was made"
    BACKUP_DOWNLOADED = "backup-downloaded", "A backup was downloaded"
    BACKUP_BROUGHT = "backup-brought", "A backup was brought here"
    RESTORED = "restored", "A backup was restored"
    UPGRADED = "upgraded", "A new version was started"
    IMPORTED = "imported", "Data was brought in"
    IMPORT_UNDONE = "import-undone", "An import was undone"
    EXPORTED = "exported", "Data was taken out"
    ERASED = "erased", "Data was erased"
    REPORT_GIVEN = "report-given", "A report was given"


class By(models.TextChoices):
    """Who did it."""

    TEACHER = "teacher", "you"
    STRANGER = "stranger", "somebody not signed in"
    COMMAND = "command", "the command line"
    PROGRAM = "program", "the program itself"


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
        verbose_name = "line of the record"
        verbose_name_plural = "lines of the record"
        indexes = [models.Index(fields=["studio", "-moment"], name="record_of_a_studio")]

    def __str__(self) -> str:
        return f"{self.moment:%Y-%m-%d %H:%M} {self.get_what_display()}"
