"""The week beside the Bench: the sheet's own rows, why each is there, and what does not fit."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.formats import date_format
from django.utils.text import get_text_list

from practice.planning.types import DayPlan, Part, WeekPlan
from practice.plans.hand import Hand
from practice.plans.weeks import days_from
from practice.repertoire.models import Idea
from practice.sheets.data import Row
from practice.sheets.grid import GridRow, grid_rows
from studio.access.models import Studio
from studio.web.days import named_day
from studio.web.wall_clock import wall_time

IN_FULL = frozenset({Part.ETUDE, Part.RUN_THROUGH, Part.FREE, Part.FAVOURITE, Part.EXPLORE})
SLIDER_STEP = 10
# As the plan builder names days in its sentences; 1 January 2024 was a Monday.
A_DAY = re.compile("|".join(f"{day:%A}" for day in days_from(dt.date(2024, 1, 1))))
FIGURES = re.compile(r"\d+( minutes?)?")
NOTHING_YET = "Nothing is in hand yet: choose a key, an etude or a piece, and the week fills."
GROWTH_BLOCKS_NOTHING = (
    "Only what was logged counts, so of a home that logs half of its days this is said often."
)
REST_ROW = 1  # the row that carries the sign of a day off


@dataclass(frozen=True)
class DayHead:
    name: str
    long: str
    lesson: bool
    off: bool


@dataclass(frozen=True)
class Cell:
    """Minutes of one day; `rest` is the sign of a day off, set once a column."""

    minutes: int | None
    rest: bool = False


@dataclass(frozen=True)
class WeekRow:
    """`which` tells rows of the same name apart."""

    row: Row
    cells: tuple[Cell, ...]
    why: tuple[str, ...]
    which: str = ""
    detail: str = ""


@dataclass(frozen=True)
class WeekSession:
    """`starts` are the times of day, one a day, where children share a violin; else empty."""

    name: str
    rows: tuple[WeekRow, ...]
    starts: tuple[str, ...] = ()


@dataclass(frozen=True)
class WeekView:
    """`sentence` is said when all is well, `unmet` when it is not; `growth` blocks nothing."""

    days: tuple[DayHead, ...]
    sessions: tuple[WeekSession, ...]
    total: int
    sentence: str
    unmet: tuple[str, ...]
    notes: tuple[str, ...]
    growth: tuple[str, ...]
    waiting: tuple[str, ...]

    @property
    def columns(self) -> int:
        return len(self.days) + 1


def week_view(
    plan: WeekPlan, hand: Hand, idea: Idea | None, timed: Studio | None = None
) -> WeekView:
    """`timed` is the studio by whose clock the starts of sessions are shown; None shows none."""
    numbers = {session.number: session.name for day in plan.days for session in day.sessions}
    shown: set[str] = set()
    sessions: list[WeekSession] = []
    for number, name in sorted(numbers.items()):
        rows: list[WeekRow] = []
        for each in grid_rows(plan, number, hand, idea):
            shown |= {item.key for item in each.items}
            rests = not sessions and len(rows) == REST_ROW
            cells = tuple(
                Cell(minutes, rests and not day.minutes)
                for minutes, day in zip(each.row.minutes, plan.days, strict=True)
            )
            which = _which(each, hand)
            which = "" if which in (row.which for row in rows) else which
            why = tuple(_why(each, plan.days))
            rows.append(WeekRow(each.row, cells, why, which, _detail(each)))
        starts = tuple(_start(day, number, timed) for day in plan.days) if timed else ()
        sessions.append(WeekSession(name, tuple(rows), starts))
    return WeekView(
        days=tuple(_head(day) for day in plan.days),
        sessions=tuple(sessions),
        total=plan.minutes,
        sentence=_sentence(plan),
        unmet=tuple(_told_once(plan.unmet)) if _anything(hand) else (NOTHING_YET,),
        notes=tuple(_notes(plan.days)),
        growth=tuple(f"{each} {GROWTH_BLOCKS_NOTHING}" for each in plan.cautions),
        waiting=tuple(_never(plan.days, shown)),
    )


def _start(day: DayPlan, number: int, studio: Studio) -> str:
    found = next((each.start for each in day.sessions if each.number == number), None)
    return wall_time(found, studio) if found else ""


def _anything(hand: Hand) -> bool:
    return bool(hand.scale or hand.etude or hand.pieces)


def slider_most(usual: int, total: int) -> int:
    """Twice the usual week, and never less than what the week has now."""
    most = max(2 * usual, total, 6 * SLIDER_STEP)
    return -(-most // SLIDER_STEP) * SLIDER_STEP


def _detail(each: GridRow) -> str:
    """What the row is, in full where the sheet has to be short."""
    if each.items[0].part in IN_FULL:
        return ", ".join(dict.fromkeys(item.title for item in each.items))
    return each.row.detail


def _which(each: GridRow, hand: Hand) -> str:
    """The piece, where two are in hand."""
    place = each.items[0].piece
    if not place or len(hand.pieces) < 2:
        return ""
    return next((piece.title for piece in hand.pieces if piece.place == place), "")


def _head(day: DayPlan) -> DayHead:
    return DayHead(
        name=date_format(day.date, "D"),
        long=named_day(day.date),
        lesson=day.lesson,
        off=not day.minutes,
    )


def _sentence(plan: WeekPlan) -> str:
    """What follows the sum: "minutes, Sunday off."."""
    off = [date_format(day.date, "l") for day in plan.days if not day.minutes]
    minutes = "minutes" if plan.minutes != 1 else "minute"
    rest = f"{get_text_list(off, 'and')} off" if off else "no day off"
    return f"{minutes}, {rest}."


def _told_once(sentences: Sequence[str]) -> list[str]:
    """What is the matter with several days is told of the first one, the others are named."""
    found: dict[str, list[str]] = {}
    for each in sentences:
        alike = FIGURES.sub("#", A_DAY.sub("#", each)) if A_DAY.search(each) else each
        found.setdefault(alike, []).append(each)
    return [_with_others(same) for same in found.values()]


def _with_others(same: list[str]) -> str:
    days = dict.fromkeys(day for each in same for day in A_DAY.findall(each))
    others = [day for day in days if day not in A_DAY.findall(same[0])]
    if not others:
        return " ".join(dict.fromkeys(same))
    return f"{same[0]} Likewise on {get_text_list(others, 'and')}."


def _notes(days: Sequence[DayPlan]) -> list[str]:
    return [f"{date_format(day.date, 'l')}: {day.note}" for day in days if day.note]


def _why(each: GridRow, days: Sequence[DayPlan]) -> list[str]:
    """Each reason once, with the days it holds for unless it holds whenever the row is there."""
    keys = {item.key for item in each.items}
    reasons: dict[str, list[int]] = {}
    waits: dict[str, list[int]] = {}
    for place, items in enumerate(each.days):
        for item in items:
            reasons.setdefault(item.reason, []).append(place)
    for place, day in enumerate(days):
        for waiting in day.waiting:
            # A gap told of the days it is here needs no telling of the days between.
            told = any(waiting.reason.startswith(reason.split(".")[0]) for reason in reasons)
            if waiting.key in keys and not told:
                waits.setdefault(waiting.reason, []).append(place)
    here = {place for place, items in enumerate(each.days) if items}
    said = [
        text if set(places) == here else f"{_names(places, days)}: {text}"
        for text, places in reasons.items()
    ]
    return said + [f"Not {_names(places, days)}: {text}" for text, places in waits.items()]


def _never(days: Sequence[DayPlan], shown: set[str]) -> list[str]:
    """What has no turn in the whole week, and why."""
    found: dict[str, str] = {}
    for day in days:
        for waiting in day.waiting:
            if waiting.key not in shown:
                name = waiting.part.value.replace("_", "-").capitalize()
                found.setdefault(waiting.key, f"{name}, {waiting.title}: {waiting.reason}")
    return list(found.values())


def _names(places: Sequence[int], days: Sequence[DayPlan]) -> str:
    return ", ".join(date_format(days[place].date, "D") for place in dict.fromkeys(places))
