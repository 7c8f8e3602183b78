"""One lesson's decisions in, one week of practice out. Same inputs, same week."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from practice.planning import explain, load, parts
from practice.planning.candidates import candidates, opening_turns
from practice.planning.cut import cut
from practice.planning.etude import why_etude_leads
from practice.planning.frames import Frame, frames
from practice.planning.shortfall import shortfall
from practice.planning.soundness import sound
from practice.planning.starts import in_time
from practice.planning.turns import Candidate, Turns
from practice.planning.types import DayIn, DayPlan, Part, Waiting, WeekInputs, WeekPlan

VERSION = 1


def build_v1(inputs: WeekInputs) -> WeekPlan:
    """The best lawful week. Inputs out of range are mended, and each mending is told in `unmet`."""
    inputs, unmet = sound(inputs)
    found = candidates(inputs)
    week = frames(inputs, found)
    planned: dict[dt.date, DayPlan] = {}
    if week:
        open_days = sum(not frame.light for frame in week)
        turns = opening_turns(inputs, found, week[0].date, open_days)
        for frame in week:
            waiting = _give_turns(frame, week, found, turns)
            planned[frame.date] = _day(frame, inputs, waiting, unmet)
        unmet += shortfall(found, turns, week)
    days = tuple(planned.get(day.date) or _no_practice(day) for day in inputs.days)
    return WeekPlan(VERSION, days, _cautions(days, inputs), tuple(unmet))


def _give_turns(
    frame: Frame, week: Sequence[Frame], found: Sequence[Candidate], turns: Turns
) -> tuple[Waiting, ...]:
    """Adds this day's turns to the frame and says why everything else waits."""
    day = frame.number
    before = week[day - 1].date if day else None
    pinned = frame.keys
    unpinned = [each for each in found if each.key not in pinned]
    leads = why_etude_leads(frame, week, turns)
    for each in turns.in_order_of_need(_due(frame, unpinned, turns), day, bool(leads)):
        cost = frame.cost(each.part)
        if cost is None:
            continue
        if len(frame.drafts) == len(pinned):
            # The first turn may be shorter than its fixed length; nothing else may enter before.
            cost = min(cost, max(frame.room, parts.TURN))
        if cost > frame.room:
            break
        left_out = turns.was_left_out(each)
        reason = explain.here(each, left_out, turns.overdue(each, day), leads)
        more, of = parts.LEFT_OUT_WEIGHT if left_out else (1, 1)
        frame.add(each, cost, reason, each.weight * more // of)
    waiting = _waiting(frame, unpinned, turns, before)
    here = frame.keys
    for each in found:
        if each.key in here or (frame.light and each.part == Part.ETUDE):
            turns.take(each.key, each.part, day)
    return waiting


def _due(frame: Frame, found: Sequence[Candidate], turns: Turns) -> list[Candidate]:
    """What wants a turn today. A pinned favourite stands for the one in rotation."""
    if frame.light:
        return []
    return [
        each
        for each in found
        if each.part not in frame.forbidden
        and turns.is_due(each, frame.number)
        and not (each.part == Part.FAVOURITE and frame.has(Part.FAVOURITE))
    ]


def _waiting(
    frame: Frame, found: Sequence[Candidate], turns: Turns, before: dt.date | None
) -> tuple[Waiting, ...]:
    """Everything without a turn today; explore is never owed, so it is never missed."""
    here = frame.keys
    waiting = []
    for each in found:
        if each.key in here or each.part == Part.EXPLORE or not each.gap:
            continue
        if each.part == Part.FAVOURITE and frame.has(Part.FAVOURITE):
            continue
        if each.part in frame.forbidden:
            reason = explain.forbidden()
        elif frame.light:
            reason = explain.at_the_lesson()
        elif not turns.is_due(each, frame.number):
            reason = explain.not_due(each)
        else:
            had_turn = turns.last[each.key] == frame.number - 1
            reason = explain.no_room(each, before if had_turn else None)
        waiting.append(Waiting(each.key, each.part, each.title, reason))
    return tuple(waiting)


def _day(
    frame: Frame, inputs: WeekInputs, waiting: tuple[Waiting, ...], unmet: list[str]
) -> DayPlan:
    sessions = cut(frame, inputs.routine, two_pieces=len(inputs.pieces) > 1)
    if not sessions:
        frame.said.append(explain.nothing_to_play(frame.day))
    timed = in_time(sessions, frame.date, frame.said)
    unmet += frame.said
    return DayPlan(
        date=frame.date,
        budget=frame.day.minutes,
        minutes=sum(session.minutes for session in sessions),
        lesson=frame.day.lesson,
        off=False,
        sessions=timed,
        waiting=waiting,
        note=explain.coming_back(frame.day.minutes, frame.minutes),
    )


def _no_practice(day: DayIn) -> DayPlan:
    return DayPlan(day.date, 0 if day.off else day.minutes, 0, day.lesson, day.off)


def _cautions(days: tuple[DayPlan, ...], inputs: WeekInputs) -> tuple[str, ...]:
    if not days:
        return ()
    minutes = sum(day.minutes for day in days)
    limit = inputs.routine.growth_limit_percent
    said = load.growth_caution(minutes, inputs.history, days[0].date, limit)
    return (said,) if said else ()
