"""Each practice day before turns are given: minutes, sessions, opening, pins, and room left."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, field

from practice.music.keys import key_told
from practice.planning import explain, load, parts
from practice.planning.pegs import pegs
from practice.planning.shares import shares
from practice.planning.turns import Candidate
from practice.planning.types import DayIn, FreeItem, Part, ScaleIn, WeekInputs
from practice.planning.words import sentence_case


@dataclass
class Draft:
    """An item whose minutes are not settled: between `least` and `most`, by `weight`."""

    key: str
    part: Part
    title: str
    reason: str
    weight: int
    least: int
    most: int = parts.MOST_MINUTES
    rank: int = 0
    piece: int | None = None
    pegs: tuple[int, ...] = ()


@dataclass
class Frame:
    """A practice day. `room` is what opening, pins and re-warm-ups leave of its minutes."""

    day: DayIn
    number: int
    minutes: int
    sessions: list[int]
    light: bool
    forbidden: frozenset[Part]
    fixed: dict[Part, int]
    drafts: list[Draft] = field(default_factory=list)
    room: int = 0
    said: list[str] = field(default_factory=list)

    @property
    def date(self) -> dt.date:
        return self.day.date

    def has(self, part: Part) -> bool:
        return any(draft.part == part for draft in self.drafts)

    @property
    def keys(self) -> set[str]:
        return {draft.key for draft in self.drafts}

    def cost(self, part: Part) -> int | None:
        """Minutes one more item of the part takes; None when its fixed minutes hold no more.

        A turn counts its two minutes even when it is fixed at one.
        """
        fixed = self.fixed.get(part)
        if fixed is None:
            return parts.TURN
        mates = [draft.least for draft in self.drafts if draft.part == part]
        if mates:
            return 0 if len(mates) < sum(mates) // parts.TURN else None
        return max(fixed, parts.TURN)

    def holds(self, part: Part) -> bool:
        """Whether the part could have a turn, were it first; a lesson holds it in any case."""
        if self.light or self.has(part):
            return True
        return part not in self.forbidden and self.room >= parts.TURN

    def add(self, each: Candidate, minutes: int, reason: str, weight: int | None = None) -> None:
        """Gives the candidate an item and takes its minutes from the room."""
        self.room -= minutes
        draft = Draft(
            key=each.key,
            part=each.part,
            title=each.title,
            reason=reason,
            weight=each.weight if weight is None else weight,
            least=minutes,
            rank=each.rank,
            piece=each.piece,
            pegs=each.pegs,
        )
        self.drafts.append(draft)

    def fit_fixed(self) -> None:
        """Shares a part's fixed minutes, as far as they fitted, among its items."""
        for part, fixed in self.fixed.items():
            mates = [draft for draft in self.drafts if draft.part == part]
            if not mates:
                continue
            total = min(fixed, sum(draft.least for draft in mates))
            if total != fixed:
                self.said.append(explain.fixed_does_not_fit(part, fixed, total, self.date))
            split = shares(total, [draft.weight for draft in mates], [1] * len(mates))
            for draft, minutes in zip(mates, split, strict=True):
                draft.least = draft.most = minutes


def frames(inputs: WeekInputs, found: Sequence[Candidate]) -> list[Frame]:
    """The week's practice days in order, each with its opening and what the teacher pinned."""
    days = [day for day in inputs.days if day.minutes and not day.off]
    off = load.days_off_before(inputs.days, inputs.history)
    other_days = any(not day.lesson for day in days)
    made = []
    for number, day in enumerate(days):
        minutes = day.minutes if day.by_hand else load.eased(day.minutes, number, off)
        forbidden = [each for each in inputs.pins.forbidden if each.date in (None, day.date)]
        frame = Frame(
            day=day,
            number=number,
            minutes=minutes,
            sessions=_sessions(day, minutes, inputs),
            light=other_days and _is_light(day, inputs),
            forbidden=frozenset(each.part for each in forbidden),
            fixed={each.part: each.minutes for each in inputs.pins.fixed},
        )
        frame.room = minutes - (len(frame.sessions) - 1)
        _open(frame, inputs.scale)
        _pin(frame, inputs, found)
        made.append(frame)
    return made


def _is_light(day: DayIn, inputs: WeekInputs) -> bool:
    """A short lesson day whose later session is the lesson itself keeps to the opening."""
    usual = len(inputs.routine.sessions)
    lost = day.sessions is not None and len(day.sessions) < usual and 1 in day.sessions
    return day.lesson and lost and day.minutes <= parts.LIGHT_LESSON_DAY


def _sessions(day: DayIn, minutes: int, inputs: WeekInputs) -> list[int]:
    """As many of the day's sessions as there are five minutes for each."""
    usual = range(1, len(inputs.routine.sessions) + 1)
    held = [number for number in usual if day.sessions is None or number in day.sessions]
    return held[: max(1, minutes // parts.SHORTEST_SESSION)]


def _open(frame: Frame, scale: ScaleIn | None) -> None:
    """Warm-up and scale before all else, then the stretch; fixed minutes as far as they fit."""
    for part in parts.OPENING:
        if part in frame.forbidden or (part == Part.SCALE and not scale):
            continue
        least = min(parts.LEAST[part], frame.fixed.get(part, parts.MOST_MINUTES), frame.room)
        if least:
            frame.room -= least
            frame.drafts.append(_opening(part, least, scale))
        elif part != Part.STRETCH:
            frame.said.append(explain.no_minute_for(part, frame.day))
    for draft in frame.drafts:
        if draft.part in frame.fixed:
            more = min(frame.fixed[draft.part] - draft.least, frame.room)
            frame.room -= more
            draft.least += more


def _opening(part: Part, least: int, scale: ScaleIn | None) -> Draft:
    if part != Part.SCALE or scale is None:
        return Draft(
            key=part.value,
            part=part,
            title=sentence_case(parts.name(part)),
            reason=explain.every_day(part),
            weight=parts.WEIGHTS[part],
            least=least,
            most=parts.MOST[part],
        )
    tempos = scale.tempo_now and scale.tempo_goal
    return Draft(
        key=f"scale:{scale.id}",
        part=part,
        title=key_told(scale.title),
        reason=explain.every_day(part),
        weight=parts.WEIGHTS[part],
        least=least,
        pegs=pegs(scale.tempo_now or 0, scale.tempo_goal or 0) if tempos else (),
    )


def _pin(frame: Frame, inputs: WeekInputs, found: Sequence[Candidate]) -> None:
    pinned = {each.key for each in inputs.pins.items if each.date == frame.date}
    for each in found:
        if each.key not in pinned:
            continue
        cost = frame.cost(each.part)
        minutes = min(frame.room, cost or 0)
        if cost is None or minutes < min(cost, 1):
            frame.said.append(explain.pin_does_not_fit(each, frame.day))
        else:
            frame.add(each, minutes, explain.pinned())
    for free in inputs.pins.free:
        if free.date in (None, frame.date):
            _add_free(frame, free)


def _add_free(frame: Frame, free: FreeItem) -> None:
    key = f"free:{free.id}"
    if key in frame.keys:
        return
    minutes = min(free.minutes, frame.room)
    if minutes < free.minutes:
        frame.said.append(explain.free_too_long(free, frame.day, minutes))
    if minutes:
        frame.room -= minutes
        frame.drafts.append(
            Draft(
                key=key,
                part=Part.FREE,
                title=free.text,
                reason=explain.written_for_this_day(),
                weight=parts.WEIGHTS[Part.FREE],
                least=minutes,
                most=minutes,
            )
        )
