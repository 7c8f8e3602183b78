"""The only reader of the wall clock; everything else is handed the time."""

from datetime import date, datetime
from typing import Protocol
from zoneinfo import ZoneInfo

from django.utils import timezone


class HasZone(Protocol):
    """Anything that lives in a time zone; in practice a Studio."""

    zone: str


def now() -> datetime:
    """The present instant, aware, in UTC."""
    return timezone.now()


def local_now(studio: HasZone) -> datetime:
    """The present instant on the studio's wall clock."""
    return now().astimezone(ZoneInfo(studio.zone))


def today(studio: HasZone) -> date:
    """The studio's calendar day, which may differ from the server's."""
    return local_now(studio).date()
