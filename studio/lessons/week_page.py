"""A week as columns of blocks, a month as weeks of days: what the templates draw."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass, field
from itertools import groupby
from zoneinfo import ZoneInfo

from studio.access.models import Studio
from studio.dates.weeks import month_weeks, week_of
from studio.lessons.feed import shown_names
from studio.lessons.models import BusyTime, Lesson
from studio.people.models import Student
from studio.terms.models import Closure, Term

STEP = 5  # minutes; every block is drawn as a whole number of steps
DAY_OPENS, DAY_CLOSES = 14, 19  # hours drawn when a week is empty


@dataclass
class Block:
    """A stretch of a day's column. kind: lesson, busy or gap; minutes are drawn minutes."""

    kind: str
    minutes: int
    names: str = ""
    lessons: list[Lesson] = field(default_factory=list)
    what: str = ""
    starts: int = 0  # minutes since midnight on the wall clock
    on_the_hour: bool = False

    @property
    def lesson(self) -> Lesson:
        return self.lessons[0]


@dataclass
class Day:
    date: dt.date
    today: bool
    closed: str
    in_term: bool
    blocks: list[Block] = field(default_factory=list)
    lost: list[Block] = field(default_factory=list)
    outside: bool = False  # of the month shown

    @property
    def standing(self) -> list[Block]:
        return [block for block in self.blocks if block.kind == "lesson"]


@dataclass
class Week:
    days: list[Day]
    opens: int
    closes: int

    @property
    def hours(self) -> list[dt.time]:
        return [dt.time(hour) for hour in range(self.opens, self.closes)]


def week_page(studio: Studio, day: dt.date, today: dt.date) -> Week:
    """The week that holds the day; six queries."""
    dates = week_of(day, studio.week_start)
    days = _days(studio, dates, today)
    spans = [_span(block) for one in days for block in one.blocks]
    opens = min([start // 60 for start, _ in spans], default=DAY_OPENS)
    closes = max([-(-end // 60) for _, end in spans], default=DAY_CLOSES)
    opens, closes = min(opens, 23), min(max(closes, opens + 1), 24)
    for one in days:
        one.blocks = _column(one.blocks, opens * 60, closes * 60)
    return Week(days, opens, closes)


def month_page(studio: Studio, year: int, month: int, today: dt.date) -> list[list[Day]]:
    """The month in whole weeks; six queries whatever the number of students."""
    weeks = month_weeks(year, month, studio.week_start)
    days = _days(studio, [day for week in weeks for day in week], today, busy=False)
    for one in days:
        one.outside = one.date.month != month
    return [days[n : n + 7] for n in range(0, len(days), 7)]


def _days(studio: Studio, dates: list[dt.date], today: dt.date, *, busy: bool = True) -> list[Day]:
    first, last = dates[0], dates[-1]
    rows = (
        Lesson.objects.of(studio)
        .within(first, last)
        .select_related("student", "made_up_by")
        .order_by("date", "starts", "slot", "pk")
    )
    names = shown_names(Student.objects.of(studio))
    closures = list(Closure.objects.filter(studio=studio, starts__lte=last, ends__gte=first))
    terms = list(Term.objects.of(studio).filter(starts__lte=last, ends__gte=first))
    days = {
        date: Day(
            date,
            date == today,
            next((one.name for one in closures if one.starts <= date <= one.ends), ""),
            any(term.starts <= date <= term.ends for term in terms),
        )
        for date in dates
    }
    for block in lesson_blocks(rows, names):
        target = days[block.lesson.date]
        (target.lost if block.lesson.fell_out else target.blocks).append(block)
    if busy:
        _add_busy(studio, days)
    return list(days.values())


def lesson_blocks(rows: Iterable[Lesson], names: dict[int, str]) -> list[Block]:
    """One block a lesson; siblings who share it stand in one."""

    def shared(row: Lesson) -> tuple[object, ...]:
        return row.date, row.starts, row.slot_id or f"own {row.pk}", row.fell_out

    blocks = []
    for _, group in groupby(rows, shared):
        lessons = list(group)
        said = " and ".join(names.get(row.student_id, row.student.given_name) for row in lessons)
        first = lessons[0]
        starts = first.starts.hour * 60 + first.starts.minute
        blocks.append(Block("lesson", first.minutes, said, lessons, starts=starts))
    return blocks


def _add_busy(studio: Studio, days: dict[dt.date, Day]) -> None:
    zone = ZoneInfo(studio.zone)
    dates = list(days)
    opens = dt.datetime.combine(dates[0], dt.time(), tzinfo=zone)
    closes = dt.datetime.combine(dates[-1] + dt.timedelta(days=1), dt.time(), tzinfo=zone)
    for row in BusyTime.objects.filter(studio=studio, starts__lt=closes, ends__gt=opens):
        for date, day in days.items():
            midnight = dt.datetime.combine(date, dt.time(), tzinfo=zone)
            start = _wall_minutes(row.starts.astimezone(zone), midnight)
            end = _wall_minutes(row.ends.astimezone(zone), midnight)
            if start < end:
                day.blocks.append(Block("busy", end - start, what=str(row), starts=start))


def _wall_minutes(local: dt.datetime, midnight: dt.datetime) -> int:
    """Minutes of the wall clock since that midnight, kept inside the day."""
    away = local.replace(tzinfo=None) - midnight.replace(tzinfo=None)
    return min(max(int(away.total_seconds() // 60), 0), 24 * 60)


def _span(block: Block) -> tuple[int, int]:
    return block.starts, min(block.starts + block.minutes, 24 * 60)


def _column(blocks: list[Block], opens: int, closes: int) -> list[Block]:
    """The day from opening to closing without a hole: gaps are cut at full hours."""
    column: list[Block] = []
    at = opens
    for block in sorted(blocks, key=_span):
        start, end = (_stepped(minute) for minute in _span(block))
        if end <= at:
            continue
        column += _gaps(at, max(start, at))
        at = max(start, at)
        block.minutes = max(end - at, STEP)
        column.append(block)
        at += block.minutes
    return column + _gaps(at, closes)


def _gaps(start: int, end: int) -> list[Block]:
    gaps = []
    while start < end:
        stop = min(end, start - start % 60 + 60)
        gaps.append(Block("gap", stop - start, on_the_hour=start % 60 == 0))
        start = stop
    return gaps


def _stepped(minute: int) -> int:
    return round(minute / STEP) * STEP
