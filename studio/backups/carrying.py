"""The record outlives a restore: what was done since the backup was made stays told."""

from __future__ import annotations

from django.db import DEFAULT_DB_ALIAS, DatabaseError

from studio.access.models import Studio
from studio.people.models import Family, Student
from studio.record.models import RecordEntry


def later_lines(alias: str) -> list[RecordEntry]:
    """The lines of now that the backup does not hold; none where they are unreadable.

    By what they say, not by their moment: the clock may have been set back meanwhile.
    """
    there = {_said(line) for line in RecordEntry.objects.using(alias)}
    try:
        now = list(RecordEntry.objects.using(DEFAULT_DB_ALIAS))
    except DatabaseError:
        return []
    return [line for line in reversed(now) if _said(line) not in there]


def _said(line: RecordEntry) -> tuple[object, ...]:
    return line.studio_id, line.moment, line.what, line.by, line.detail


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
