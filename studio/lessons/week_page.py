"""A week as columns of blocks, a month as weeks of days: what the templates draw."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass, field
from itertools import groupby
from zoneinfo import ZoneInfo

from studio.access.models import Studio
from studio.dates.weeks import month_weeks, week_of
from studio.language.lists import listed
from studio.lessons.feed import shown_names
from studio.lessons.models import BusyTime, Lesson
from studio.people.models import Student
from studio.terms.models import Closure, Term

STEP = 5  # minutes; every block is drawn as a whole number of steps
DAY_OPENS, DAY_CLOSES = 14, 19  # hours drawn when a week is empty


@dataclass
class Block:
    """A stretch of a day's column: a lesson with all who share it, or a busy time.

    starts: minutes since midnight on the wall clock. drawn, gap: minutes of the block and of the
    free stretch above it as they are drawn, in whole steps.
    """

    starts: int
    minutes: int
    names: str = ""
    lessons: list[Lesson] = field(default_factory=list)
    what: str = ""
    drawn: int = 0
    gap: int = 0

    @property
    def lesson(self) -> Lesson | None:
        return self.lessons[0] if self.lessons else None

    @property
    def gap_hours(self) -> int:
        return self.gap // 60

    @property
    def gap_minutes(self) -> int:
        return self.gap % 60


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
    def in_order(self) -> list[Block]:
        """All lessons of the day, whatever became of them, by time."""
        return sorted([*self.standing, *self.lost], key=lambda block: block.starts)

    @property
    def standing(self) -> list[Block]:
        return [block for block in self.blocks if block.lessons]


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
    spans = [_span(block) for one in days for block in one.standing]
    # A free hour before and after: room to see, and to drag a lesson into.
    opens = max(min([start // 60 - 1 for start, _ in spans], default=DAY_OPENS), 0)
    closes = min(max([-(-end // 60) + 1 for _, end in spans], default=DAY_CLOSES), 24)
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
            any(term.holds(date) for term in terms),
        )
        for date in dates
    }
    for block in lesson_blocks(rows, names):
        first_row = block.lessons[0]
        target = days[first_row.date]
        (target.lost if first_row.fell_out else target.blocks).append(block)
    if busy:
        _add_busy(studio, days)
    return list(days.values())


def lesson_blocks(rows: Iterable[Lesson], names: dict[int, str]) -> list[Block]:
    """One block a lesson; siblings who share it stand in one."""

    def shared(row: Lesson) -> tuple[object, ...]:
        return row.date, row.starts, row.slot_id or -row.pk, row.fell_out

    blocks = []
    for _, group in groupby(rows, shared):
        lessons = list(group)
        said = listed([names.get(row.student_id, row.student.given_name) for row in lessons])
        first = lessons[0]
        starts = first.starts.hour * 60 + first.starts.minute
        blocks.append(Block(starts, first.minutes, said, lessons))
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
                day.blocks.append(Block(start, end - start, what=str(row)))


def _wall_minutes(local: dt.datetime, midnight: dt.datetime) -> int:
    """Minutes of the wall clock since that midnight, kept inside the day."""
    away = local.replace(tzinfo=None) - midnight.replace(tzinfo=None)
    return min(max(int(away.total_seconds() // 60), 0), 24 * 60)


def _span(block: Block) -> tuple[int, int]:
    return block.starts, min(block.starts + block.minutes, 24 * 60)


def _column(blocks: list[Block], opens: int, closes: int) -> list[Block]:
    """The day from its opening on, each block with the gap above it.

    A busy time is cut to what is shown, and drops out where lessons or others cover it.
    """
    column = []
    at = opens
    for block in sorted(blocks, key=_span):
        start, end = (_stepped(minute) for minute in _span(block))
        if not block.lessons:
            end = min(end, closes)
            if end <= max(at, start):
                continue
        block.gap = max(start - at, 0)
        at += block.gap
        block.drawn = max(end - at, STEP)
        at += block.drawn
        column.append(block)
    return column


def _stepped(minute: int) -> int:
    return round(minute / STEP) * STEP
