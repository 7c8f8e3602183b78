"""The record outlives a restore: what was done since the backup was made stays told."""

from __future__ import annotations

import datetime as dt

from django.db import DEFAULT_DB_ALIAS, DatabaseError

from studio.access.models import Studio
from studio.people.models import Family, Student
from studio.record.models import RecordEntry


def later_lines(since: dt.datetime) -> list[RecordEntry]:
    """The lines of now that a backup of that moment cannot hold; none where they are unreadable."""
    try:
        return list(RecordEntry.objects.using(DEFAULT_DB_ALIAS).filter(moment__gt=since))
    except DatabaseError:
        return []


def add_lines(alias: str, lines: list[RecordEntry]) -> None:
    """Write them into another database of the same installation, as far as their studio is there.

    A family or student that is not in it is left out of the line.
    """
    there = {
        kind: set(kind._default_manager.using(alias).values_list("pk", flat=True))
        for kind in (Studio, Family, Student)
    }
    RecordEntry.objects.using(alias).bulk_create(
        RecordEntry(
            studio_id=line.studio_id,
            family_id=line.family_id if line.family_id in there[Family] else None,
            student_id=line.student_id if line.student_id in there[Student] else None,
            **{name: getattr(line, name) for name in ("moment", "what", "by", "address", "detail")},
        )
        for line in lines
        if line.studio_id is None or line.studio_id in there[Studio]
    )
