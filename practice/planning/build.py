"""One lesson's decisions in, one week of practice out. Same inputs, same week."""

from __future__ import annotations

import datetime as dt

from practice.planning import explain, load, parts
from practice.planning.candidates import candidates, opening_turns
from practice.planning.frames import Draft, Frame, frames
from practice.planning.shares import shares
from practice.planning.soundness import sound
from practice.planning.turns import Candidate, Turns
from practice.planning.types import (
    DayIn,
    DayPlan,
    Item,
    Part,
    Session,
    Waiting,
    WeekInputs,
    WeekPlan,
)

VERSION = 1


def build_v1(inputs: WeekInputs) -> WeekPlan:
    """The best lawful week. Inputs out of range are mended, and each mending is told in `unmet`."""
    inputs, said = sound(inputs)
    found = candidates(inputs)
    week = frames(inputs, found)
    planned: dict[dt.date, DayPlan] = {}
    if week:
        turns = opening_turns(inputs, found, week[0].day.date)
        for frame, after in zip(week, [*week[1:], None], strict=True):
            waiting = _choose(frame, after, found, turns, week)
            planned[frame.day.date] = _day(frame, inputs, waiting)
            said += frame.said
    days = tuple(planned.get(day.date) or _no_practice(day) for day in inputs.days)
    minutes = sum(day.minutes for day in days)
    cautions = []
    if week:
        limit = inputs.routine.growth_limit_percent
        cautions.append(load.growth_caution(minutes, inputs.history, days[0].date, limit))
    return WeekPlan(VERSION, days, tuple(filter(None, cautions)), tuple(said))


def _choose(
    frame: Frame,
    after: Frame | None,
    found: list[Candidate],
    turns: Turns,
    week: list[Frame],
) -> tuple[Waiting, ...]:
    """Gives turns on this day, and says why everything else waits."""
    day = frame.number
    before = week[day - 1].day.date if day else None
    pinned = {draft.key for draft in frame.drafts}
    open_to_turns = [each for each in found if each.key not in pinned]
    due = (
        []
        if frame.light
        else [
            each
            for each in open_to_turns
            if each.part not in frame.forbidden and turns.is_due(each, day)
        ]
    )
    etude_first = turns.part_waited(Part.ETUDE, day) > 1 or (
        after is not None and not after.holds(Part.ETUDE)
    )
    first_turn = True
    for each in turns.in_order_of_need(due, day, etude_first):
        cost = frame.cost(each.part)
        if cost is None:
            continue
        if first_turn:
            cost = min(cost, max(frame.room, min(cost, parts.TURN)))
        if cost > frame.room:
            break
        first_turn = False
        left_out = turns.was_left_out(each)
        over = turns.overdue(each, day)
        reason = explain.here(each, left_out, over, etude_first, before)
        up, down = parts.LEFT_OUT_WEIGHT if left_out else (1, 1)
        frame.add(each, cost, reason, each.weight * up // down)
    waiting = _waiting(frame, open_to_turns, turns, before)
    chosen = {draft.key for draft in frame.drafts}
    for each in found:
        if each.key in chosen or (frame.light and each.part == Part.ETUDE):
            turns.take(each.key, each.part, day)
    return waiting


def _waiting(
    frame: Frame, found: list[Candidate], turns: Turns, before: dt.date | None
) -> tuple[Waiting, ...]:
    chosen = {draft.key for draft in frame.drafts}
    favourite_chosen = any(draft.part == Part.FAVOURITE for draft in frame.drafts)
    waiting = []
    for each in found:
        if each.key in chosen or each.part == Part.EXPLORE:
            continue
        if each.part == Part.FAVOURITE and favourite_chosen:
            continue
        if each.part in frame.forbidden:
            reason = explain.FORBIDDEN
        elif frame.light:
            reason = explain.AT_THE_LESSON
        elif not turns.is_due(each, frame.number):
            reason = explain.not_due(each)
        else:
            had_turn = turns.last[each.key] == frame.number - 1
            reason = explain.no_room(each, before, had_turn)
        waiting.append(Waiting(each.key, each.part, each.title, reason))
    return tuple(waiting)


def _no_practice(day: DayIn) -> DayPlan:
    return DayPlan(day.date, 0 if day.off else day.minutes, 0, day.lesson, day.off)


def _day(frame: Frame, inputs: WeekInputs, waiting: tuple[Waiting, ...]) -> DayPlan:
    frame.fit_fixed()
    sessions = _cut(frame, inputs)
    day = frame.day
    note = ""
    if frame.minutes < day.minutes:
        note = f"Coming back after days off: {frame.minutes} instead of {day.minutes} minutes."
    return DayPlan(
        date=day.date,
        budget=day.minutes,
        minutes=frame.minutes,
        lesson=day.lesson,
        off=False,
        sessions=tuple(sessions),
        waiting=waiting,
        note=note,
    )


def _cut(frame: Frame, inputs: WeekInputs) -> list[Session]:
    """Each part in the session it belongs to; a later session opens with a re-warm-up."""
    two_pieces = len(inputs.pieces) == 2
    count = len(frame.sessions)
    held: list[tuple[int, list[Draft]]] = []
    for index, number in enumerate(frame.sessions):
        drafts = [
            draft
            for draft in frame.drafts
            if parts.home(draft.part, draft.piece, count, two_pieces) == index
        ]
        drafts.sort(key=_playing_order)
        if drafts and held and Part.RE_WARM_UP not in frame.forbidden:
            drafts.insert(0, _re_warm_up(number))
        if drafts:
            held.append((number, drafts))
    minutes = _settle(frame, [draft for _, drafts in held for draft in drafts])
    sessions = []
    for number, drafts in held:
        items = tuple(
            Item(
                each.key,
                each.part,
                minutes[each.key],
                each.title,
                each.reason,
                each.piece,
                each.pegs,
            )
            for each in drafts
        )
        usual = inputs.routine.sessions[number - 1]
        total = sum(item.minutes for item in items)
        sessions.append(
            Session(number, usual.name, usual.start, items, load.rests(total, inputs.routine))
        )
    return sessions


def _settle(frame: Frame, drafts: list[Draft]) -> dict[str, int]:
    """Whole minutes for every item of the day, summing to its budget."""
    most = [min(draft.most, frame.minutes) for draft in drafts]
    if sum(most) < frame.minutes:
        heaviest = max(range(len(drafts)), key=lambda i: drafts[i].weight)
        most[heaviest] = frame.minutes
        frame.said.append(
            f"{explain.weekday(frame.day.date)} has more minutes than its parts may take:"
            f" {drafts[heaviest].title} gets the rest."
        )
    given = shares(
        frame.minutes,
        [draft.weight for draft in drafts],
        [draft.least for draft in drafts],
        most,
    )
    return dict(zip([draft.key for draft in drafts], given, strict=True))


def _re_warm_up(number: int) -> Draft:
    part = Part.RE_WARM_UP
    return Draft(
        key=f"re_warm_up:{number}",
        part=part,
        title="Warm up again",
        reason=explain.RE_WARM_UP,
        weight=parts.WEIGHTS[part],
        least=parts.LEAST[part],
        most=parts.MOST[part],
    )


def _playing_order(draft: Draft) -> tuple[int, int, int]:
    """Opening, etude, then piece by piece its spots and run-through, then the end of the day."""
    order = parts.PLAYING_ORDER[draft.part]
    if draft.piece:
        return (parts.PLAYING_ORDER[Part.SPOT], draft.piece, order)
    return (order, 0, 0)
