"""A sheet that came back: its rows and days as boxes, and what the teacher ticked as a Message."""

from __future__ import annotations

import datetime as dt
import uuid
from collections import defaultdict
from dataclasses import dataclass

from django.core import signing
from django.http import QueryDict
from django.utils.translation import gettext as _

from practice.home.day import running_week
from practice.logs.models import LogEntry
from practice.logs.record import WEEKS_OPEN, Message, NotTaken, Tick
from practice.planning.types import Part
from practice.plans.models import Assignment, Item
from practice.plans.weeks import days_from
from practice.plans.words import MARKS, part_name
from studio.people.models import Student

RowKey = tuple[int, int, int, str]
SALT = "practice.desk.returned"
HOLDS_FOR = dt.timedelta(weeks=WEEKS_OPEN)


@dataclass(frozen=True)
class Cell:
    """One ring of the sheet: all items of a row on a day. A day to come has no box yet."""

    date: dt.date
    items: tuple[Item, ...]
    ticked: bool
    open: bool

    @property
    def ids(self) -> str:
        return " ".join(str(item.pk) for item in self.items)

    @property
    def minutes(self) -> int:
        return sum(item.minutes for item in self.items)


@dataclass(frozen=True)
class Row:
    session: str
    part: Part
    detail: str
    cells: tuple[Cell | None, ...]

    @property
    def name(self) -> str:
        return part_name(self.part)

    @property
    def mark(self) -> str:
        return MARKS[self.part]


@dataclass(frozen=True)
class Returned:
    """The week as printed: seven days, and rows in playing order."""

    assignment: Assignment
    days: tuple[dt.date, ...]
    rows: tuple[Row, ...]

    @property
    def cells(self) -> list[Cell]:
        return [cell for row in self.rows for cell in row.cells if cell is not None and cell.open]


def week_of(student: Student, today: dt.date, starts: dt.date | None) -> Assignment | None:
    """The week that starts on the day, or the one in hand; None when there is none."""
    if starts is None:
        return running_week(student, today)
    weeks = Assignment.objects.filter(student=student, plan__isnull=False, starts=starts)
    return weeks.first()


def returned(assignment: Assignment, student: Student, today: dt.date) -> Returned:
    """One query. Explore has no ring on paper, so it has no box here."""
    days = tuple(days_from(assignment.starts))
    found: dict[RowKey, dict[dt.date, list[Item]]] = defaultdict(lambda: defaultdict(list))
    items = Item.objects.filter(plan__assignment=assignment, minutes__gt=0)
    items = items.select_related("plan", "log", "piece__work").defer("plan__inputs")
    for item in items.exclude(part=Part.EXPLORE):
        found[_row_key(item)][item.date].append(item)
    names = [name for name, _ in student.sessions]
    rows = []
    for key, by_day in sorted(found.items()):
        session = names[min(key[0], len(names)) - 1] if names else ""
        rows.append(_row(session, by_day, days, today))
    return Returned(assignment, days, tuple(rows))


def fresh_key() -> str:
    """A page's own, saved once; it runs out before its receipt may be forgotten."""
    return signing.dumps(uuid.uuid4().hex, salt=SALT)


def as_message(page: Returned, data: QueryDict, now: dt.datetime, today: dt.date) -> Message:
    """Only boxes that changed: what home told of the others (minutes, tempo) stays as it is."""
    ticked = set(data.getlist("cell"))
    ticks = [
        Tick(item.pk, cell.ids in ticked, now)
        for cell in page.cells
        if (cell.ids in ticked) != cell.ticked
        for item in cell.items
    ]
    try:
        key = uuid.UUID(signing.loads(data.get("key", ""), salt=SALT, max_age=HOLDS_FOR))
    except signing.BadSignature as error:
        raise NotTaken(_("This page is too old to save. Please open it again.")) from error
    return Message(key, tuple(ticks), data.get("word", ""), min(page.days[-1], today))


def _row_key(item: Item) -> RowKey:
    """As on the sheet: spots and run-through piece by piece, each free item for itself."""
    order = list(Part).index(Part(item.part))
    own = item.key if item.part == Part.FREE else ""
    if item.piece_id:
        return item.session, list(Part).index(Part.SPOT), item.piece_id * 100 + order, own
    return item.session, order, 0, own


def _row(
    session: str,
    by_day: dict[dt.date, list[Item]],
    days: tuple[dt.date, ...],
    today: dt.date,
) -> Row:
    first = next(iter(by_day.values()))[0]
    cells = tuple(_cell(day, by_day[day], today) if day in by_day else None for day in days)
    same = len({item.key for items in by_day.values() for item in items}) == 1
    detail = first.piece.work.told_title if first.piece else first.detail if same else _("in turn")
    return Row(session, Part(first.part), detail, cells)


def _cell(day: dt.date, items: list[Item], today: dt.date) -> Cell:
    logs: list[LogEntry | None] = [getattr(item, "log", None) for item in items]
    done = all(log is not None and log.done for log in logs)
    return Cell(day, tuple(items), done, day <= today)
