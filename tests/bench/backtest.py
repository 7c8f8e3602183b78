"""Two years of 200 invented students: are the builder's promises kept, do the ranges hold?

    python -m tests.bench.backtest

Fixed seed, about half a minute. The students are those of invented.py.
"""

from __future__ import annotations

import datetime as dt
import sys
from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from statistics import median

from practice.figures.evidence import TempoEvidence, tempo_evidence
from practice.planning.types import DayIn, History, Part, WeekInputs, WeekPlan
from practice.planning.versions import build
from tests.bench.invented import (
    Learning,
    Logging,
    Spot,
    Student,
    inputs_of,
    lesson,
    practise,
    student,
    take_up,
)

STUDENTS, WEEKS, SEED = 200, 104, 1810
FIRST = dt.date(2024, 9, 5)
HOLIDAYS = (15, 16, 30, 31, 44, 45, 46, 47)  # weeks of each year without practice
PARTS = (Part.ETUDE, Part.SPOT, Part.RUN_THROUGH, Part.FAVOURITE, Part.EXPLORE)


@dataclass
class Seen:
    """What some students' two years showed."""

    weeks: int = 0
    in_hand: Counter[Part] = field(default_factory=Counter)
    planned: Counter[Part] = field(default_factory=Counter)
    etude_away: int = 0
    solved: int = 0
    cautions: int = 0
    favourite_gaps: list[int] = field(default_factory=list)
    ranges: list[bool] = field(default_factory=list)
    widths: list[int] = field(default_factory=list)
    open_ends: int = 0
    too_few: int = 0
    by_learning: dict[Learning, list[bool]] = field(default_factory=lambda: defaultdict(list))


@dataclass
class Asked:
    """A range that the program gave for a spot on some lesson day."""

    spot: Spot
    given: TempoEvidence


def run(students: int = STUDENTS, weeks: int = WEEKS, seed: int = SEED) -> dict[Logging, Seen]:
    seen: dict[Logging, Seen] = {logging: Seen() for logging in Logging}
    for number in range(students):
        who = student(seed, number)
        _two_years(who, seen[who.logging], weeks)
    return seen


def _two_years(who: Student, seen: Seen, weeks: int) -> None:
    take_up(who, 1, FIRST)
    if who.budget >= 20:
        take_up(who, 2, FIRST)
    asked: list[Asked] = []
    favourite_days: dict[str, list[int]] = defaultdict(list)
    away = practice_day = 0
    for number in range(weeks):
        inputs = _inputs(who, number)
        plan = build(inputs)
        away = _watch(plan, inputs, seen, away)
        for day in plan.days:
            practice_day += bool(day.minutes)
            for item in day.items:
                if item.part == Part.FAVOURITE:
                    favourite_days[item.key].append(practice_day)
            practise(who, day.date, day.items)
        _end_of_week(who, plan, number, asked, seen)
    for spot_asked in asked:
        _judge(spot_asked, who.learning, seen, FIRST + dt.timedelta(days=7 * weeks))
    for days in favourite_days.values():
        seen.favourite_gaps += [two - one for one, two in pairwise(days)]


def _inputs(who: Student, number: int) -> WeekInputs:
    start = FIRST + dt.timedelta(days=7 * number)
    holiday = number % 52 in HOLIDAYS
    days = []
    for n in range(7):
        date = start + dt.timedelta(days=n)
        off = holiday or n not in who.weekdays
        days.append(DayIn(date, 0 if off else who.budget, lesson=n == 6, off=off))
        if off:
            who.days_off.append(date)
    recent = start - dt.timedelta(days=35)
    history = History(
        logged=tuple(entry for entry in who.logged if entry.date >= recent),
        left_out=who.left_out,
        days_off=tuple(day for day in who.days_off if recent <= day < start),
    )
    return inputs_of(who, days=tuple(days), history=history)


def _watch(plan: WeekPlan, inputs: WeekInputs, seen: Seen, away: int) -> int:
    """Counts coverage, cautions and the etude's absence; gives its days away so far."""
    practice = [day for day in plan.days if day.minutes]
    if not practice:
        return away
    seen.weeks += 1
    seen.cautions += bool(plan.cautions)
    has = {Part.SPOT: inputs.spots, Part.FAVOURITE: inputs.favourites}
    played = {item.part for day in practice for item in day.items}
    for part in PARTS:
        if has.get(part, True):
            seen.in_hand[part] += 1
            seen.planned[part] += part in played
    for day in practice:
        away = 0 if any(item.part == Part.ETUDE for item in day.items) else away + 1
        seen.etude_away = max(seen.etude_away, away)
    return away


def _end_of_week(who: Student, plan: WeekPlan, number: int, asked: list[Asked], seen: Seen) -> None:
    """The lesson, what was left out, and now and then a range asked for."""
    today = plan.days[-1].date
    logged = {entry.key for entry in who.logged if entry.date >= plan.days[0].date}
    planned = {i.key for day in plan.days for i in day.items if i.part in PARTS}
    who.left_out = tuple(sorted(planned - logged - {"explore"})) if logged else ()
    if number % 4 == 3:
        who.etude += 1
    if number % 6 == 5:
        who.scale += 1
    for spot in who.spots:
        if spot.lessons == spot.ask_after and spot.reached is None:
            asked.append(Asked(spot, tempo_evidence(spot.points, spot.goal, today)))
    seen.solved += len(lesson(who, today))


def _judge(asked: Asked, learning: Learning, seen: Seen, end: dt.date) -> None:
    """Whether the range meets the week at whose end the goal was first heard.

    A goal not heard by the end of the two years counts only where it is certain.
    """
    given, reached = asked.given, asked.spot.reached
    if given.now is None:
        seen.too_few += 1
    if given.earliest is None:
        return
    if reached is None:
        if given.latest is None or given.latest >= end:
            return
        holds = False
    else:
        week_before = reached - dt.timedelta(days=6)
        holds = given.earliest <= reached and (given.latest is None or week_before <= given.latest)
    seen.ranges.append(holds)
    seen.by_learning[learning].append(holds)
    if given.latest is None:
        seen.open_ends += 1
    else:
        seen.widths.append((given.latest - given.earliest).days)


def _share(hits: int, of: int) -> str:
    return f"{100 * hits / of:.0f} %" if of else "-"


def _middle_and_most(days: list[int]) -> str:
    return f"{median(days):.0f} / {max(days)}" if days else "-"


def _row(name: str, each: Seen) -> list[str]:
    return [
        name,
        *(_share(each.planned[part], each.in_hand[part]) for part in PARTS),
        str(each.etude_away),
        str(each.solved),
        _middle_and_most(each.favourite_gaps),
        _share(each.cautions, each.weeks),
        f"{_share(sum(each.ranges), len(each.ranges))} of {len(each.ranges)}",
        f"{median(each.widths) / 7:.0f}" if each.widths else "-",
        _share(each.open_ends, len(each.ranges)),
    ]


def together(seen: Iterable[Seen]) -> Seen:
    """All of them as one."""
    whole = Seen()
    for each in seen:
        whole.weeks += each.weeks
        whole.in_hand += each.in_hand
        whole.planned += each.planned
        whole.etude_away = max(whole.etude_away, each.etude_away)
        whole.solved += each.solved
        whole.cautions += each.cautions
        whole.favourite_gaps += each.favourite_gaps
        whole.ranges += each.ranges
        whole.widths += each.widths
        whole.open_ends += each.open_ends
        whole.too_few += each.too_few
        for learning, held in each.by_learning.items():
            whole.by_learning[learning] += held
    return whole


def table(seen: dict[Logging, Seen]) -> str:
    """The result as a Markdown table, one row for each way of logging."""
    head = ["what home logs", *(f"{part.value.replace('_', '-')}" for part in PARTS)]
    head += ["etude away, days", "spots solved", "favourite back after, days", "cautions"]
    head += ["ranges that held", "weeks wide", "open end"]
    honest = [Logging.EVERY_DAY, Logging.SOMETIMES, Logging.NEVER]
    rows = [_row(logging.value, each) for logging, each in seen.items()]
    rows.append(_row("honest, together", together(seen[each] for each in honest)))
    lines = [head, ["---"] * len(head), *rows]
    return "\n".join("| " + " | ".join(line) + " |" for line in lines)


def main(arguments: Sequence[str]) -> None:
    seen = run()
    whole = together(seen.values())
    lines = [
        f"{STUDENTS} students, {WEEKS} weeks, seed {SEED}; {whole.weeks:,} weeks with practice.",
        "",
        table(seen),
        "",
        *(
            f"Ranges that held, {learning}: {_share(sum(held), len(held))} of {len(held)}."
            for learning, held in sorted(whole.by_learning.items())
        ),
        f"Asked with too few tempos, so no range: {whole.too_few}.",
    ]
    sys.stdout.write("\n".join(lines) + "\n")


if __name__ == "__main__":
    main(sys.argv[1:])
