"""What was done in the invented studio, as its record tells it."""

from __future__ import annotations

import datetime as dt
from typing import Final
from zoneinfo import ZoneInfo

from studio.access.models import Studio
from studio.links.models import HomeLink
from studio.record.models import By, RecordEntry, What

AT_HOME, ON_THE_TABLET = "127.0.0.1", "192.168.1.20"
# Days ago, time of day, what, from where.
DOINGS: Final = (
    (1, dt.time(13, 40), What.SIGNED_IN, AT_HOME),
    (1, dt.time(18, 5), What.SIGNED_IN, ON_THE_TABLET),
    (4, dt.time(19, 12), What.SIGN_IN_FAILED, ON_THE_TABLET),
    (4, dt.time(19, 13), What.SIGNED_IN, ON_THE_TABLET),
    (9, dt.time(11, 30), What.SETTINGS_CHANGED, AT_HOME),
    (23, dt.time(10, 2), What.PASSWORD_CHANGED, AT_HOME),
)
LINKS_SHOWN: Final = 6


def write_record(studio: Studio, today: dt.date) -> None:
    """Sign-ins of the last weeks, and the making of some private addresses."""
    zone = ZoneInfo(studio.zone)
    lines = [
        RecordEntry(
            studio=studio,
            moment=dt.datetime.combine(today - dt.timedelta(days=days), time, zone),
            what=what,
            by=By.STRANGER if what == What.SIGN_IN_FAILED else By.TEACHER,
            address=address,
            detail="paper" if what == What.SETTINGS_CHANGED else "",
        )
        for days, time, what, address in DOINGS
    ]
    made = HomeLink.objects.filter(family__studio=studio, revoked=None).order_by("pk")
    for number, link in enumerate(made[:LINKS_SHOWN]):
        moment = dt.datetime.combine(today - dt.timedelta(days=30), dt.time(9, 30 + number), zone)
        lines.append(
            RecordEntry(
                studio=studio,
                moment=moment,
                what=What.LINK_MADE,
                by=By.TEACHER,
                address=AT_HOME,
                family_id=link.family_id,
                student_id=link.student_id,
                detail="home page",
            )
        )
    RecordEntry.objects.bulk_create(lines)
