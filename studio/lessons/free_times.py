"""Free times that fit a lesson, by day, on the studio's wall clock."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from studio.access.models import Studio
from studio.dates.free import Offer, best_of, offers
from studio.dates.zones import NoSuchTimeError, to_utc
from studio.lessons.booking import taken_between
from studio.lessons.models import Lesson, LessonRules, Slot
from studio.lessons.schedule import closures

DAYS_AHEAD = 14
MOST_A_DAY = 6


@dataclass(frozen=True)
class FreeTime:
    """One start to offer; `beside` says that it leaves no hole in the day."""

    day: dt.date
    starts: dt.time
    beside: bool

    @property
    def value(self) -> str:
        return f"{self.day:%Y-%m-%d}T{self.starts:%H:%M}"


@dataclass(frozen=True)
class FreeDay:
    day: dt.date
    times: list[FreeTime]


def free_days(
    studio: Studio,
    first: dt.date,
    now: dt.datetime,
    *,
    minutes: int,
    place: str | None,
    without: Iterable[Lesson] = (),
    until: dt.date | None = None,
) -> list[FreeDay]:
    """Days with room among those she teaches on anyway, each with its best starts.

    Any other day can be typed; a free Sunday is not offered to a family unasked. Five queries.
    """
    zone = ZoneInfo(studio.zone)
    rules = LessonRules.of(studio)
    days = [first + dt.timedelta(days=n) for n in range(DAYS_AHEAD)]
    days = [day for day in days if until is None or day <= until]
    if not days:
        return []
    closed = closures(studio)
    taken = taken_between(studio, days[0], days[-1], without)
    teaching = _teaching_days(studio, days)
    found = []
    for day in days:
        if day not in teaching or any(start <= day <= end for start, end in closed):
            continue
        window = _window(day, rules, zone, now)
        if window is None:
            continue
        free = offers(window, taken, minutes, place=place, travel=rules.travel)
        times = [_wall(offer, zone) for offer in best_of(free, MOST_A_DAY)]
        if times:
            found.append(FreeDay(day, times))
    return found


def _teaching_days(studio: Studio, days: list[dt.date]) -> set[dt.date]:
    """Days with a lesson, or with the weekday of a weekly one; all days while there is neither."""
    weekdays = set(Slot.objects.filter(studio=studio).values_list("weekday", flat=True))
    lessons = Lesson.objects.of(studio).standing().within(days[0], days[-1])
    dates = set(lessons.order_by().values_list("date", flat=True))
    teaching = {day for day in days if day.weekday() in weekdays or day in dates}
    return teaching or set(days)


def _window(
    day: dt.date, rules: LessonRules, zone: ZoneInfo, now: dt.datetime
) -> tuple[dt.datetime, dt.datetime] | None:
    try:
        opens, closes = to_utc(day, rules.day_opens, zone), to_utc(day, rules.day_closes, zone)
    except NoSuchTimeError:
        return None
    if opens < now:
        # From the next quarter of an hour on.
        opens = now.replace(minute=now.minute - now.minute % 15, second=0, microsecond=0)
        opens += dt.timedelta(minutes=15)
    return (opens, closes) if opens < closes else None


def _wall(offer: Offer, zone: ZoneInfo) -> FreeTime:
    local = offer.starts.astimezone(zone)
    return FreeTime(local.date(), local.time().replace(fold=0), offer.beside)
