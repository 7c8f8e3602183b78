"""When a family is erased, whoever played together with one of them keeps the piece."""

from __future__ import annotations

from typing import Any

from django.db.models.signals import post_delete

from practice.recitals.models import Performance
from studio.people.models import Family


def watch() -> None:
    post_delete.connect(_partner_goes_on, sender=Performance, dispatch_uid="practice.recitals")


def _partner_goes_on(instance: Performance, origin: object, **_: Any) -> None:
    """Not where the piece was taken out, or the recital, and not where both are erased."""
    partner = instance.partner
    if not isinstance(origin, Family) or partner is None or partner.family_id == origin.pk:
        return
    Performance.objects.get_or_create(
        programme=instance.programme,
        student=partner,
        work=instance.work,
        defaults={
            "seconds": instance.seconds,
            "character": instance.character,
            "with_piano": instance.with_piano,
            "place": instance.place,
        },
    )
