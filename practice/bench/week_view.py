"""The week beside the Bench: the sheet's own rows, why each is there, and what does not fit."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass

from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from practice.planning import parts
from practice.planning.types import DayPlan, Part, Waiting, WeekPlan
from practice.planning.words import Told, sentence_case
from practice.plans.hand import Hand
from practice.repertoire.models import Idea
from practice.sheets.data import Row
from practice.sheets.grid import GridRow, grid_rows
from studio.access.models import Studio
from studio.language.days import weekday
from studio.language.lists import listed
from studio.web.days import named_day
from studio.web.wall_clock import wall_time

IN_FULL = frozenset({Part.ETUDE, Part.RUN_THROUGH, Part.FREE, Part.FAVOURITE, Part.EXPLORE})
SLIDER_STEP = 10
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
            rows.append(WeekRow(each.row, cells, why, which, _detail(each, idea)))
        starts = tuple(_start(day, number, timed) for day in plan.days) if timed else ()
        sessions.append(WeekSession(name, tuple(rows), starts))
    return WeekView(
        days=tuple(_head(day) for day in plan.days),
        sessions=tuple(sessions),
        total=plan.minutes,
        sentence=_sentence(plan),
        unmet=tuple(_told_once(plan.unmet)) if _anything(hand) else (nothing_yet(),),
        notes=tuple(_notes(plan.days)),
        growth=tuple(f"{each} {growth_blocks_nothing()}" for each in plan.cautions),
        waiting=tuple(_never(plan.days, shown)),
    )


def nothing_yet() -> str:
    return _("Nothing is in hand yet: choose a key, an etude or a piece, and the week fills.")


def growth_blocks_nothing() -> str:
    return _(
        "Only what was logged counts, so of a home that logs half of its days this is said often."
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


def _detail(each: GridRow, idea: Idea | None) -> str:
    """What the row is, in full where the sheet has to be short."""
    if each.items[0].part is Part.EXPLORE and idea:
        return idea.told_title
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
    off = [weekday(day.date) for day in plan.days if not day.minutes]
    if not off:
        return ngettext("minute, no day off.", "minutes, no day off.", plan.minutes)
    said = ngettext("minute, {days} off.", "minutes, {days} off.", plan.minutes)
    return said.format(days=listed(off))


def _told_once(sentences: Sequence[str]) -> list[str]:
    """What is the matter with several days is told of the first one, the others are named."""
    found: dict[Hashable, list[str]] = {}
    for each in sentences:
        found.setdefault(_alike(each), []).append(each)
    return [_with_others(same) for same in found.values()]


def _alike(sentence: str) -> Hashable:
    return sentence.alike if isinstance(sentence, Told) else sentence


def _with_others(same: list[str]) -> str:
    first, *others = same
    if not isinstance(first, Told):
        return first
    days = dict.fromkeys(day for each in others if isinstance(each, Told) for day in each.days)
    more = [weekday(day) for day in days if day not in first.days]
    if not more:
        return " ".join(dict.fromkeys(same))
    return _("{sentence} Likewise on {days}.").format(sentence=first, days=listed(more))


def _notes(days: Sequence[DayPlan]) -> list[str]:
    return [f"{weekday(day.date)}: {day.note}" for day in days if day.note]


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
            told = any(_alike(waiting.reason) == _alike(reason) for reason in reasons)
            if waiting.key in keys and not told:
                waits.setdefault(waiting.reason, []).append(place)
    here = {place for place, items in enumerate(each.days) if items}
    said = [
        text if set(places) == here else f"{_names(places, days)}: {text}"
        for text, places in reasons.items()
    ]
    not_on = _("Not {days}: {why}")
    return said + [
        not_on.format(days=_names(places, days), why=text) for text, places in waits.items()
    ]


def _never(days: Sequence[DayPlan], shown: set[str]) -> list[str]:
    """What has no turn in the whole week, and why."""
    found: dict[str, str] = {}
    for day in days:
        for waiting in day.waiting:
            if waiting.key not in shown:
                found.setdefault(waiting.key, _waits(waiting))
    return list(found.values())


def _waits(waiting: Waiting) -> str:
    """ "Etude, Wohlfahrt no. 2: No room today; it waits for its turn."."""
    name = sentence_case(parts.one(waiting.part))
    return f"{name}, {waiting.title}: {waiting.reason}"


def _names(places: Sequence[int], days: Sequence[DayPlan]) -> str:
    return ", ".join(date_format(days[place].date, "D") for place in dict.fromkeys(places))
