"""What the plan builder takes and gives: frozen values that survive JSON unchanged.

Minutes are whole, tempos beats a minute. A key names one item for good: "stretch", "warm_up",
"scale:5", "etude:3", "spot:41", "run:7", "favourite:2", "explore", "free:1", and "re_warm_up:2".
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property
from typing import Any

from practice.planning import codec


class Part(StrEnum):
    """The parts of a day in playing order; scale and arpeggio of one key are one part."""

    STRETCH = "stretch"
    WARM_UP = "warm_up"
    RE_WARM_UP = "re_warm_up"
    SCALE = "scale"
    ETUDE = "etude"
    SPOT = "spot"
    RUN_THROUGH = "run_through"
    FREE = "free"
    FAVOURITE = "favourite"
    EXPLORE = "explore"


class Stage(StrEnum):
    READING = "reading"
    WORKING_UP = "working-up"
    POLISHING = "polishing"


class SpotState(StrEnum):
    TROUBLED = "troubled"
    FIRMING = "firming"
    FIRM = "firm"


@dataclass(frozen=True)
class ScaleIn:
    id: int
    title: str
    tempo_now: int | None = None
    tempo_goal: int | None = None


@dataclass(frozen=True)
class EtudeIn:
    id: int
    title: str


@dataclass(frozen=True)
class PieceIn:
    """`place` is 1 or 2. `run_every` is every n-th practice day, 0 for never; None: by stage."""

    id: int
    place: int
    title: str
    stage: Stage = Stage.WORKING_UP
    run_every: int | None = None


@dataclass(frozen=True)
class SpotIn:
    """Hard bars ("7", "7–8") of the piece in `piece` (its place); hardness 1 is practised first."""

    id: int
    piece: int
    bars: str
    state: SpotState = SpotState.TROUBLED
    tempo_now: int = 60
    tempo_goal: int = 80
    hardness: int = 1
    last_practised: dt.date | None = None


@dataclass(frozen=True)
class FavouriteIn:
    id: int
    title: str
    last_played: dt.date | None = None


@dataclass(frozen=True)
class ExploreIn:
    title: str
    id: int | None = None


@dataclass(frozen=True)
class DayIn:
    """One day and its budget. `sessions` are the numbers (from 1) that can be held; None: all.
    Minutes set `by_hand` stand even after a week off."""

    date: dt.date
    minutes: int
    lesson: bool = False
    off: bool = False
    sessions: tuple[int, ...] | None = None
    by_hand: bool = False


@dataclass(frozen=True)
class SessionIn:
    name: str
    start: dt.time | None = None


@dataclass(frozen=True)
class Routine:
    """One to three sessions a day, and the teacher's own settings for rest and growth."""

    sessions: tuple[SessionIn, ...] = (SessionIn("After school"),)  # no words: never shown
    rest_after: int = 25
    rest_minutes: int = 5
    growth_limit_percent: int = 25


@dataclass(frozen=True)
class Logged:
    """Minutes that home logged for one item on one day."""

    date: dt.date
    key: str
    minutes: int


@dataclass(frozen=True)
class History:
    """What is known of the weeks before; `left_out` are keys planned last week and not played."""

    logged: tuple[Logged, ...] = ()
    left_out: tuple[str, ...] = ()
    days_off: tuple[dt.date, ...] = ()


@dataclass(frozen=True)
class PinnedItem:
    """The item stands on that day whatever its turn."""

    key: str
    date: dt.date


@dataclass(frozen=True)
class ForbiddenPart:
    """The part is left out on that day; None: on every day of the week."""

    part: Part
    date: dt.date | None = None


@dataclass(frozen=True)
class FixedMinutes:
    """The part has exactly these minutes on each day it is played, its items together."""

    part: Part
    minutes: int


@dataclass(frozen=True)
class FreeItem:
    """Something of the teacher's own on one day; None: on every day of the week."""

    id: int
    text: str
    minutes: int
    date: dt.date | None = None


@dataclass(frozen=True)
class Pins:
    items: tuple[PinnedItem, ...] = ()
    forbidden: tuple[ForbiddenPart, ...] = ()
    fixed: tuple[FixedMinutes, ...] = ()
    free: tuple[FreeItem, ...] = ()


@dataclass(frozen=True)
class WeekInputs:
    """Everything one week is built from; `validate` in soundness.py says what is wrong with it."""

    days: tuple[DayIn, ...]
    routine: Routine = Routine()
    scale: ScaleIn | None = None
    etude: EtudeIn | None = None
    pieces: tuple[PieceIn, ...] = ()
    spots: tuple[SpotIn, ...] = ()
    favourites: tuple[FavouriteIn, ...] = ()
    explore: ExploreIn | None = None
    history: History = History()
    pins: Pins = Pins()
    version: int = 1

    def to_json(self) -> dict[str, Any]:
        return codec.to_json(self)

    @classmethod
    def from_json(cls, data: object) -> WeekInputs:
        """Raises ValueError that names the field when the data has another shape."""
        return codec.from_json(cls, data)


@dataclass(frozen=True)
class Item:
    """One part on one day: `reason` says why it is here, `pegs` its tempo steps if it has any."""

    key: str
    part: Part
    minutes: int
    title: str
    reason: str
    piece: int | None = None
    pegs: tuple[int, ...] = ()


@dataclass(frozen=True)
class Waiting:
    """An item that has no turn on a day, and why."""

    key: str
    part: Part
    title: str
    reason: str


@dataclass(frozen=True)
class Rest:
    """A rest that counts as no practice; `at` is minutes on the clock since the session began."""

    at: int
    minutes: int


@dataclass(frozen=True)
class Session:
    """`number` is the routine's, from 1; `start` is None where the routine has no time."""

    number: int
    name: str
    start: dt.time | None
    items: tuple[Item, ...]
    rests: tuple[Rest, ...] = ()

    @cached_property
    def minutes(self) -> int:
        return sum(item.minutes for item in self.items)

    @cached_property
    def clock_minutes(self) -> int:
        """Practice and rests together."""
        return self.minutes + sum(rest.minutes for rest in self.rests)


@dataclass(frozen=True)
class DayPlan:
    """`budget` is what the teacher gave, `minutes` what is planned: less only after a week off."""

    date: dt.date
    budget: int
    minutes: int
    lesson: bool
    off: bool
    sessions: tuple[Session, ...] = ()
    waiting: tuple[Waiting, ...] = ()
    note: str = ""

    @cached_property
    def items(self) -> tuple[Item, ...]:
        """All items of the day in playing order."""
        return tuple(item for session in self.sessions for item in session.items)


@dataclass(frozen=True)
class WeekPlan:
    """`cautions` block nothing; `unmet` are settings, pins and rules that could not hold."""

    version: int
    days: tuple[DayPlan, ...]
    cautions: tuple[str, ...] = ()
    unmet: tuple[str, ...] = ()

    @cached_property
    def minutes(self) -> int:
        return sum(day.minutes for day in self.days)

    def to_json(self) -> dict[str, Any]:
        return codec.to_json(self)

    @classmethod
    def from_json(cls, data: object) -> WeekPlan:
        """Raises ValueError that names the field when the data has another shape."""
        return codec.from_json(cls, data)
