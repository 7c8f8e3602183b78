"""One child, one day: the rows of the sheet as something to open, play and tick."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from practice.engraving.pictures import Picture
from practice.home.tunes import Tune, bars_picture, easier_tune, scale_tunes
from practice.logs.models import MOST_MINUTES_AN_ITEM, LogEntry
from practice.planning.pegs import pegs
from practice.planning.types import Part
from practice.plans.generate import built
from practice.plans.hand import hand_scale
from practice.plans.models import Assignment, Item
from practice.plans.weeks import days_from
from practice.plans.words import MARKS, part_name
from practice.repertoire.models import Spot
from practice.sheets.siblings import beside_siblings
from studio.people.models import Student


@dataclass(frozen=True)
class Bars:
    """A spot to work on: its picture, what to do, and the tempos from now to wanted; `easier` is
    the same in a simpler key, to be played first."""

    item: int
    label: str
    what: str
    picture: Picture | None
    pegs: tuple[int, ...]
    tempo: int | None
    easier: Tune | None = None


@dataclass(frozen=True)
class Row:
    """What one tick stands for: one item, or all spots of a piece.

    `typed` and `wrong` are of a page that could not be taken: the minutes field as it was filled
    in, and whether the row is the one the sentence speaks of.
    """

    part: Part
    detail: str
    items: tuple[Item, ...]
    done: bool
    logged: int | None
    bars: tuple[Bars, ...] = ()
    tunes: tuple[Tune, ...] = ()
    typed: str | None = None
    wrong: bool = False

    @property
    def pictures(self) -> Iterable[Picture]:
        yield from (tune.picture for tune in self.tunes)
        for bars in self.bars:
            if bars.picture:
                yield bars.picture
            if bars.easier:
                yield bars.easier.picture

    @property
    def other_minutes(self) -> int | None:
        """The minutes told, where they are not those planned."""
        return self.logged if self.logged != self.minutes else None

    @property
    def minutes_told(self) -> str:
        """What stands in the field: as typed, or the minutes told if not as planned."""
        if self.typed is not None:
            return self.typed
        return "" if self.other_minutes is None else str(self.other_minutes)

    @property
    def name(self) -> str:
        return part_name(self.part)

    @property
    def mark(self) -> str:
        return MARKS[self.part]

    @property
    def minutes(self) -> int:
        return sum(item.minutes for item in self.items)

    @property
    def ids(self) -> str:
        return " ".join(str(item.pk) for item in self.items)

    @property
    def owes_a_tick(self) -> bool:
        """Explore has no goal: nothing is asked of it."""
        return self.part is not Part.EXPLORE


@dataclass(frozen=True)
class Session:
    """`starts` only where children share a violin."""

    name: str
    rows: tuple[Row, ...]
    starts: dt.time | None = None

    @property
    def minutes(self) -> int:
        return sum(row.minutes for row in self.rows)

    @property
    def done(self) -> bool:
        return all(row.done for row in self.rows if row.owes_a_tick)

    @property
    def folded(self) -> bool:
        """Whether one line says enough: all is done, nothing goes on without a tick."""
        return self.done and all(row.owes_a_tick and not row.wrong for row in self.rows)


@dataclass(frozen=True)
class HomeDay:
    date: dt.date
    sessions: tuple[Session, ...]
    most_minutes = MOST_MINUTES_AN_ITEM

    def with_rows(self, change: Callable[[Row], Row]) -> HomeDay:
        return replace(
            self,
            sessions=tuple(
                replace(each, rows=tuple(change(row) for row in each.rows))
                for each in self.sessions
            ),
        )

    @property
    def rows(self) -> list[Row]:
        return [row for session in self.sessions for row in session.rows]

    @property
    def minutes(self) -> int:
        return sum(row.minutes for row in self.rows)

    @property
    def done_minutes(self) -> int:
        return sum(row.logged or 0 for row in self.rows if row.done)

    @property
    def open_ids(self) -> str:
        """The ids of the first row that still owes a tick; "" when none does."""
        return next((row.ids for row in self.rows if row.owes_a_tick and not row.done), "")


def running_week(student: Student, today: dt.date) -> Assignment | None:
    """The decided week that holds today, or the last one begun, or the first to come."""
    decided = Assignment.objects.filter(student=student, plan__isnull=False)
    weeks = decided.select_related("plan").defer("plan__inputs")  # large, and seldom asked for
    begun = weeks.filter(starts__lte=today).order_by("-starts").first()
    found = begun or weeks.order_by("starts").first()
    if found:
        found.student = student  # with family and studio, which are here already
    return found


def week_with(student: Student, day: dt.date | None, today: dt.date) -> Assignment | None:
    """The decided week that holds the day asked for, else the running one."""
    found = running_week(student, day or today)
    if day is None or found is None or day in days_from(found.starts):
        return found
    return running_week(student, today)


Starts = Mapping[tuple[dt.date, int], dt.time]


def starts_of(assignment: Assignment) -> Starts:
    """By day and session, when to begin, in four queries; empty where no violin is shared."""
    if not assignment.student.family.shares_violin:
        return {}
    week = beside_siblings(assignment.student, built(assignment.plan))
    return {
        (day.date, session.number): session.start
        for day in week.days
        for session in day.sessions
        if session.start is not None
    }


def home_day(student: Student, assignment: Assignment, date: dt.date, starts: Starts) -> HomeDay:
    """The day's sessions. Three queries, whatever is planned; one or two more where the scale has
    a bowing that is borrowed or the teacher's own."""
    items = list(
        Item.objects.filter(plan__assignment=assignment, date=date, minutes__gt=0)
        .select_related("plan", "log", "spot", "piece__work", "scale")
        .defer("plan__inputs")
        .order_by("session", "position")
    )
    names = [name for name, _ in student.sessions]
    sessions = []
    for number, group in groupby(items, key=lambda item: item.session):
        name = names[number - 1] if number <= len(names) else names[-1]
        at = starts.get((date, number))
        sessions.append(Session(name, tuple(_rows(student, group)), at))
    return HomeDay(date, tuple(sessions))


def _rows(student: Student, items: Iterable[Item]) -> Iterable[Row]:
    for (part, _), group in groupby(items, key=_row_key):
        yield _row(student, Part(part), tuple(group))


def _row_key(item: Item) -> tuple[str, str | int | None]:
    return item.part, item.piece_id if item.part == Part.SPOT else item.key


def _row(student: Student, part: Part, items: tuple[Item, ...]) -> Row:
    scale = items[0].scale
    logs = [log for item in items if (log := _log(item)) is not None and log.done]
    return Row(
        part=part,
        detail=_detail(part, items),
        items=items,
        done=len(logs) == len(items),
        logged=sum(log.minutes for log in logs) if logs else None,
        bars=tuple(_bars(item, item.spot) for item in items if item.spot),
        tunes=tuple(scale_tunes(student, items[0].pk, hand_scale(scale))) if scale else (),
    )


def _log(item: Item) -> LogEntry | None:
    return getattr(item, "log", None)


def _detail(part: Part, items: Sequence[Item]) -> str:
    if part is Part.SPOT and items[0].piece:
        title: str = items[0].piece.work.told_title
        return title
    return items[0].detail


def _bars(item: Item, spot: Spot) -> Bars:
    log = _log(item)
    return Bars(
        item=item.pk,
        label=spot.label,
        what=spot.what,
        picture=bars_picture(spot.excerpt),
        pegs=pegs(spot.tempo_now, spot.tempo_goal),
        tempo=log.tempo if log else None,
        easier=easier_tune(item.pk, spot),
    )
