"""Which rows are old enough to go, where the clock may be wrong."""

from __future__ import annotations

import datetime as dt
from typing import Final, TypeVar

from django.db.models import Max, Model, QuerySet

from studio import clock

Row = TypeVar("Row", bound=Model)
# A clock that is ahead is seen and set right before the program has worked on so many days.
DAYS: Final = 7


def outlived(rows: QuerySet[Row], moment: str, kept: dt.timedelta) -> QuerySet[Row]:
    """The rows written more than `kept` before the seventh last day on which one was written.

    So no clock, wherever it stands, lets go of all; `moment` is the field that tells when.
    """
    last = clock.now() + dt.timedelta.resolution
    for _ in range(DAYS):
        earlier = rows.filter(**{f"{moment}__lt": last}).aggregate(last=Max(moment))["last"]
        if earlier is None:
            return rows.none()
        last = earlier.astimezone(dt.UTC).replace(hour=0, minute=0, second=0, microsecond=0)
    return rows.filter(**{f"{moment}__lt": last - kept})
