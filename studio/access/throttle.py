"""The limits, kept in the database so that every process counts the same tries."""

from datetime import timedelta

from django.db import transaction
from django.utils.crypto import salted_hmac

from studio import clock
from studio.access.limits import Limit, refilled, wait_seconds
from studio.access.models import Allowance

FORGET_AFTER = timedelta(days=2)


def hashed(kind: str, value: str) -> str:
    return salted_hmac(f"studio.allowance.{kind}", value, algorithm="sha256").hexdigest()


def spend(kind: str, value: str, limit: Limit) -> int:
    """Spend one try: 0 when there was one, else the seconds to wait, at no cost."""
    now = clock.now()
    with transaction.atomic():
        row, _ = Allowance.objects.select_for_update().get_or_create(
            key=hashed(kind, value), defaults={"left": float(limit.tries), "updated": now}
        )
        left = refilled(row.left, (now - row.updated).total_seconds(), limit)
        wait = wait_seconds(left, limit)
        row.left, row.updated = left - (0 if wait else 1), now
        row.save(update_fields=["left", "updated"])
    return wait


def restore(kind: str, value: str) -> None:
    """Give back every try, after a success."""
    Allowance.objects.filter(key=hashed(kind, value)).delete()


def forget_old() -> None:
    """Drop full buckets; nobody waits that long."""
    Allowance.objects.filter(updated__lt=clock.now() - FORGET_AFTER).delete()
