"""Who is deleted must not stay on paper that waits in the data folder."""

from __future__ import annotations

from typing import Any

from django.db.models.signals import post_delete

from practice.printing import store
from practice.printing.models import PrintJob, PrintPart


def watch() -> None:
    post_delete.connect(_part_is_gone, sender=PrintPart, dispatch_uid="practice.printing")


def _part_is_gone(instance: PrintPart, **_: Any) -> None:
    """A job under way loses that part; one that is done loses its files, which hold it."""
    if PrintJob.objects.unfinished().filter(pk=instance.job_id).exists():
        store.part(instance.job_id, instance.number).unlink(missing_ok=True)
    else:
        store.drop(instance.job_id)
