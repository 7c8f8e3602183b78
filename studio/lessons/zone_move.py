"""A studio goes to live in another time zone."""

from __future__ import annotations

import datetime as dt
from zoneinfo import ZoneInfo

from studio.access.models import Studio
from studio.lessons.booking import changing, instant
from studio.lessons.changes import told
from studio.lessons.models import Lesson, Slot
from studio.terms.models import Recital


def move_zone(studio: Studio, zone: str, now: dt.datetime, *, keep_instants: bool) -> int:
    """Take the studio to another zone; returns how many coming lessons changed.

    keep_instants: coming lessons stay at their instants and so get another wall time (lessons on
    a screen). Otherwise they stay at their wall time and so become other instants. Lessons that
    have begun stay as they were: the zone they were held in is written beside them.
    """
    with changing(studio):
        old, new = ZoneInfo(studio.zone), ZoneInfo(zone)
        today = now.astimezone(old).date()
        rows = list(Lesson.objects.of(studio).select_related("student__family__studio"))
        coming = [row for row in rows if not row.zone and row.begins(old) >= now]
        kept = {row.pk for row in coming}
        past = [row.pk for row in rows if not row.zone and row.pk not in kept]
        Lesson.objects.filter(pk__in=past).update(zone=studio.zone)
        before = {row.pk: row.begins(old) for row in coming}
        if keep_instants:
            _convert_slots(studio, today, old, new)
        studio.zone = zone
        studio.save(update_fields=["zone"])
        changed = 0
        for row in coming:
            changed += _convert(row, before[row.pk], new, studio, keep_instants=keep_instants)
        _move_recitals(studio, now, old, new)
        return changed


def _move_recitals(studio: Studio, now: dt.datetime, old: ZoneInfo, new: ZoneInfo) -> None:
    """One that is to come stays at its wall time, for it has a room; a past one where it was."""
    for recital in Recital.objects.of(studio).filter(zone=""):
        before = recital.begins(old)
        if before < now:
            recital.zone = str(old)
            recital.save(update_fields=["zone"])
        elif recital.begins(new) != before:
            recital.told()


def _convert(
    lesson: Lesson, before: dt.datetime, new: ZoneInfo, studio: Studio, *, keep_instants: bool
) -> bool:
    if not keep_instants:
        if instant(studio, lesson.date, lesson.starts) == before:
            return False
        told(lesson)
        return True
    local = before.astimezone(new)
    if (local.date(), local.time()) == (lesson.date, lesson.starts):
        return False
    shift = local.date() - lesson.date
    lesson.date, lesson.starts = local.date(), local.time().replace(fold=0)
    if lesson.slot_day is not None:
        lesson.slot_day += shift
    lesson.save()
    return True


def _convert_slots(studio: Studio, today: dt.date, old: ZoneInfo, new: ZoneInfo) -> None:
    """Later weeks follow the wall time that the next lesson of the slot gets."""
    for slot in Slot.objects.filter(studio=studio):
        coming = slot.weekly.days(today, today + dt.timedelta(weeks=slot.every_weeks))
        if not coming:
            continue
        local = instant(studio, coming[0], slot.starts).astimezone(new)
        shift = local.date() - coming[0]
        slot.weekday, slot.starts = local.weekday(), local.time().replace(fold=0)
        slot.first_day += shift
        if slot.last_day is not None:
            slot.last_day += shift
        slot.save()
