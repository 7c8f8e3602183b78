"""The teacher's day: each lesson with what the last week at home looked like.

Everything is fetched for all students of the day at once, so the number of queries stays the same
however many lessons there are.
"""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Collection
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from practice.logs.history import LastWeek, last_weeks
from practice.logs.models import LogEntry, Word
from practice.plans.models import Assignment
from practice.repertoire.models import ScaleInHand, Spot
from studio.access.models import Studio
from studio.lessons.models import Lesson

MOST_PEGS = 6
WORDS_ARE_NEWS = dt.timedelta(days=10)


@dataclass(frozen=True)
class TempoHeard:
    """How far home came with one spot last week (beats a minute)."""

    title: str
    first: int
    last: int
    goal: int


@dataclass(frozen=True)
class DeskLesson:
    """One lesson of the day and what to know at the door."""

    lesson: Lesson
    minute_of_start: int
    over: bool
    last_week: LastWeek | None
    word: Word | None
    scale: ScaleInHand | None
    weeks_in_key: int
    tempos: tuple[TempoHeard, ...]
    to_check: str
    decided: Assignment | None

    @property
    def age(self) -> int | None:
        return self.lesson.student.age_on(self.lesson.date)

    @property
    def week_pegs(self) -> range:
        """A peg for each week in the key; the words beside them count further."""
        return range(min(self.weeks_in_key, MOST_PEGS))

    @property
    def stands(self) -> bool:
        """Whether it takes place or took place."""
        return self.lesson.status in (Lesson.Status.PLANNED, Lesson.Status.KEPT)

    @property
    def done(self) -> bool:
        """Whether nothing of it waits for the teacher now."""
        return self.over or self.decided is not None or not self.stands


@dataclass(frozen=True)
class DeskDay:
    """`now_at` is the minute of the studio's day, `next` the lesson that comes or runs."""

    date: dt.date
    now_at: int
    lessons: tuple[DeskLesson, ...]
    next: DeskLesson | None

    @property
    def taught(self) -> int:
        return sum(each.done and each.stands for each in self.lessons)

    @property
    def until_next(self) -> int | None:
        """Minutes until the next lesson starts; below zero while it runs."""
        return self.next.minute_of_start - self.now_at if self.next else None


def desk_day(studio: Studio, now: dt.datetime) -> DeskDay:
    local = now.astimezone(ZoneInfo(studio.zone))
    date, now_at = local.date(), 60 * local.hour + local.minute
    rows = list(
        Lesson.objects.of(studio).filter(date=date).select_related("student__family", "makes_up")
    )
    rows.sort(key=lambda row: (row.starts, row.pk))
    lessons = _with_facts(rows, date, now_at)
    following = next((each for each in lessons if not each.done), None)
    return DeskDay(date, now_at, lessons, following)


def _with_facts(rows: list[Lesson], date: dt.date, now_at: int) -> tuple[DeskLesson, ...]:
    students = {row.student_id for row in rows}
    weeks = last_weeks(students, date + dt.timedelta(days=1))
    words = _words(students, date)
    scales = {
        row.student_id: row for row in ScaleInHand.objects.filter(student__in=students, until=None)
    }
    decided, before = _assignments(students, date)
    tempos = _tempos([row.pk for row in before.values()])
    return tuple(
        DeskLesson(
            lesson=row,
            minute_of_start=_minute(row.starts),
            over=row.status == Lesson.Status.KEPT or _minute(row.starts) + row.minutes <= now_at,
            last_week=weeks.get(row.student_id),
            word=words.get(row.student_id),
            scale=scales.get(row.student_id),
            weeks_in_key=_weeks(scales.get(row.student_id), date),
            tempos=tuple(tempos.get(row.student_id, ())),
            to_check=before[row.student_id].to_check if row.student_id in before else "",
            decided=decided.get(row.student_id),
        )
        for row in rows
    )


def _minute(time: dt.time) -> int:
    return 60 * time.hour + time.minute


def _weeks(scale: ScaleInHand | None, date: dt.date) -> int:
    """Weeks in the key, the one that runs included."""
    return (date - scale.since).days // 7 + 1 if scale else 0


def _words(students: Collection[int], date: dt.date) -> dict[int, Word]:
    """The latest word from each home, while it is still news."""
    found = Word.objects.filter(student__in=students, date__range=(date - WORDS_ARE_NEWS, date))
    latest: dict[int, Word] = {}
    for word in found.order_by("date", "written"):
        latest[word.student_id] = word
    return latest


def _assignments(
    students: Collection[int], date: dt.date
) -> tuple[dict[int, Assignment], dict[int, Assignment]]:
    """By student: the week decided at this lesson, and the one decided before it."""
    decided: dict[int, Assignment] = {}
    before: dict[int, Assignment] = {}
    recent = Assignment.objects.filter(
        student__in=students, starts__gt=date - dt.timedelta(days=35)
    )
    for row in recent.order_by("starts"):
        (decided if row.starts > date else before)[row.student_id] = row
    return decided, before


def _tempos(assignments: Collection[int]) -> dict[int, list[TempoHeard]]:
    """Spots with a tempo logged in these weeks: the first and the last one told."""
    entries = LogEntry.objects.filter(
        item__plan__assignment__in=assignments,
        item__spot__solved=None,
        item__spot__isnull=False,
        tempo__isnull=False,
    ).order_by("item__date", "pk")
    told: dict[int, list[int]] = defaultdict(list)
    for pk, tempo in entries.values_list("item__spot", "tempo"):
        told[pk].append(tempo or 0)
    found: dict[int, list[TempoHeard]] = defaultdict(list)
    spots = Spot.objects.select_related("piece__work").in_bulk(told)
    for pk, tempos in told.items():
        spot = spots[pk]
        title = f"{spot.piece.work.told_title.partition(',')[0]}, {spot.label}"
        heard = TempoHeard(title, tempos[0], tempos[-1], spot.tempo_goal)
        found[spot.piece.student_id].append(heard)
    return found
