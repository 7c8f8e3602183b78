"""Each practice day before its parts are chosen: minutes, sessions, opening, pins, room left."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from practice.planning import explain, load, parts
from practice.planning.pegs import pegs
from practice.planning.shares import shares
from practice.planning.turns import Candidate
from practice.planning.types import DayIn, FreeItem, Part, WeekInputs


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

    def cost(self, part: Part) -> int | None:
        """Minutes one more item of the part takes; None when its fixed minutes hold no more."""
        fixed = self.fixed.get(part)
        if fixed is None:
            return parts.TURN
        mates = sum(draft.part == part for draft in self.drafts)
        if mates:
            return 0 if mates < fixed // parts.TURN else None
        return fixed

    def holds(self, part: Part) -> bool:
        """Whether the part could have a turn, were it first; a lesson holds it in any case."""
        if self.light or any(draft.part == part for draft in self.drafts):
            return True
        return part not in self.forbidden and self.room >= min(
            self.fixed.get(part, parts.TURN), parts.TURN
        )

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
            piece=each.piece,
            pegs=each.pegs,
        )
        self.drafts.append(draft)

    def fit_fixed(self) -> None:
        """Shares a part's fixed minutes, as far as they fitted, among its items."""
        for part in self.fixed:
            mates = [draft for draft in self.drafts if draft.part == part]
            if mates and part not in parts.OPENING:
                total = max(len(mates), sum(draft.least for draft in mates))
                weights = [draft.weight for draft in mates]
                split = shares(total, weights, [1] * len(mates))
                for draft, minutes in zip(mates, split, strict=True):
                    draft.least = draft.most = minutes


def frames(inputs: WeekInputs, found: Sequence[Candidate]) -> list[Frame]:
    """The week's practice days in order, each with its opening and what the teacher pinned."""
    off = load.days_off_before(inputs.days, inputs.history)
    days = [day for day in inputs.days if day.minutes and not day.off]
    light = [_is_light(day, inputs) for day in days]
    if all(light):
        light = [False] * len(days)
    made = []
    for number, day in enumerate(days):
        minutes = day.minutes if day.by_hand else load.eased(day.minutes, number, off)
        frame = Frame(
            day=day,
            number=number,
            minutes=minutes,
            sessions=_sessions(day, minutes, inputs),
            light=light[number],
            forbidden=frozenset(
                each.part for each in inputs.pins.forbidden if each.date in (None, day.date)
            ),
            fixed={each.part: each.minutes for each in inputs.pins.fixed},
        )
        frame.room = minutes - (len(frame.sessions) - 1)
        _open(frame, inputs)
        _pin(frame, inputs, found)
        made.append(frame)
    return made


def _is_light(day: DayIn, inputs: WeekInputs) -> bool:
    """A short lesson day whose later session is the lesson itself keeps to the opening."""
    usual = len(inputs.routine.sessions)
    lost = day.sessions is not None and len(day.sessions) < usual and 1 in day.sessions
    return day.lesson and lost and day.minutes <= parts.LIGHT_LESSON_DAY


def _sessions(day: DayIn, minutes: int, inputs: WeekInputs) -> list[int]:
    """As many of the day's sessions as its minutes fill; a session is no shorter than five."""
    usual = range(1, len(inputs.routine.sessions) + 1)
    held = [number for number in usual if day.sessions is None or number in day.sessions]
    return held[: max(1, minutes // parts.SHORTEST_SESSION)]


def _open(frame: Frame, inputs: WeekInputs) -> None:
    """Warm-up and scale before all else, then the stretch; fixed minutes as far as they fit."""
    for part in parts.OPENING:
        if part in frame.forbidden or (part == Part.SCALE and not inputs.scale):
            continue
        least = min(parts.LEAST[part], frame.fixed.get(part, parts.MOST_MINUTES), frame.room)
        if not least:
            frame.said.append(explain.no_minute_for(part, frame.day))
            continue
        frame.room -= least
        frame.drafts.append(_opening(part, least, inputs))
    for draft in frame.drafts:
        if draft.part in frame.fixed:
            more = min(frame.fixed[draft.part] - draft.least, frame.room)
            frame.room -= more
            draft.least = draft.most = draft.least + more


def _opening(part: Part, least: int, inputs: WeekInputs) -> Draft:
    scale = inputs.scale if part == Part.SCALE else None
    return Draft(
        key=f"scale:{scale.id}" if scale else part.value,
        part=part,
        title=scale.title if scale else parts.NAMES[part].capitalize(),
        reason=explain.EVERY_DAY[part],
        weight=parts.WEIGHTS[part],
        least=least,
        most=parts.MOST.get(part, parts.MOST_MINUTES),
        pegs=pegs(scale.tempo_now, scale.tempo_goal)
        if scale and scale.tempo_now and scale.tempo_goal
        else (),
    )


def _pin(frame: Frame, inputs: WeekInputs, found: Sequence[Candidate]) -> None:
    pinned = {each.key for each in inputs.pins.items if each.date == frame.day.date}
    for each in found:
        if each.key not in pinned or each.part in frame.forbidden:
            continue
        cost = frame.cost(each.part)
        minutes = min(frame.room, cost or 0)
        if cost is None or minutes < min(cost, 1):
            frame.said.append(explain.pin_does_not_fit(each.title, frame.day))
        else:
            frame.add(each, minutes, explain.PINNED)
    for free in inputs.pins.free:
        if free.date in (None, frame.day.date):
            _add_free(frame, free)


def _add_free(frame: Frame, free: FreeItem) -> None:
    minutes = min(free.minutes, frame.room)
    if minutes < free.minutes:
        frame.said.append(explain.free_too_long(free, frame.day, minutes))
    if minutes:
        weight = parts.WEIGHTS[Part.FREE]
        key = f"free:{free.id}"
        frame.drafts.append(
            Draft(key, Part.FREE, free.text, explain.FREE, weight, minutes, minutes)
        )
        frame.room -= minutes
