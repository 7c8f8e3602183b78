"""How fast weeks are built, and whether many students cost more than few.

    python -m tests.bench.bench_planning

Prints, asserts nothing: a benchmark is no test. Seconds are processor time, so that other work on
the machine does not count.
"""

from __future__ import annotations

import datetime as dt
import sys
from collections.abc import Sequence
from dataclasses import replace
from time import process_time

from practice.planning.types import DayIn, WeekInputs
from practice.planning.versions import build
from practice.planning.what_if import what_if
from tests.bench.invented import inputs_of, practise, student, take_up

SIZES = (10, 100, 500, 1000, 10_000)
START = dt.date(2026, 11, 26)
SEED = 1810


def week_inputs(number: int) -> WeekInputs:
    """One student's week, with the logs of the week before."""
    who = student(SEED, number)
    for place in (1, 2):
        take_up(who, place, START)
    days = tuple(
        DayIn(START + dt.timedelta(days=n), who.budget if n in who.weekdays else 0)
        for n in range(7)
    )
    inputs = inputs_of(who, days=days)
    for day in build(inputs).days:
        practise(who, day.date - dt.timedelta(days=7), day.items)
    history = replace(inputs.history, logged=tuple(who.logged))
    return replace(inputs_of(who, days=days), history=history)


def seconds(studio: Sequence[WeekInputs]) -> float:
    """The best of three runs over all weeks."""
    best = float("inf")
    for _ in range(3 if len(studio) <= 1000 else 1):
        begun = process_time()
        for inputs in studio:
            build(inputs)
        best = min(best, process_time() - begun)
    return best


def main() -> None:
    say = sys.stdout.write
    studio = [week_inputs(number) for number in range(SIZES[-1])]
    build(studio[0])
    base = 0.0
    for size in SIZES:
        took = seconds(studio[:size])
        each = took / size
        base = base or each
        say(
            f"{size:6} weeks: {took:7.3f} s, {size / took:7.0f} a second,"
            f" {each * 1000:.2f} ms each, {each / base:.2f} times the first row's\n"
        )
    slowest = max(seconds([inputs]) for inputs in studio[:500])
    say(f"slowest single week of 500: {slowest * 1000:.2f} ms\n")
    begun = process_time()
    for more in range(100):
        what_if(studio[0], {day.date: day.minutes + more for day in studio[0].days})
    say(f"what if, one answer: {(process_time() - begun) * 10:.2f} ms\n")


if __name__ == "__main__":
    main()
