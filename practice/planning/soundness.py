"""What is wrong with a week's inputs, and the same inputs mended so that a week can be built."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import TypeVar

from practice.planning import parts
from practice.planning.pins import sound_pins
from practice.planning.types import (
    DayIn,
    FavouriteIn,
    History,
    Logged,
    PieceIn,
    Routine,
    ScaleIn,
    SessionIn,
    SpotIn,
    WeekInputs,
)
from practice.planning.words import day_and_month, minutes_of, weekday

MOST_DAYS, MOST_SESSIONS, MOST_PIECES = 7, 3, 2
MINUTES_IN_A_DAY = 24 * 60
TEMPOS = (20, 300)
RUN_EVERY = (0, 7)
SETTINGS = {
    "rest_after": ("a rest comes after", 10, 90),
    "rest_minutes": ("a rest lasts", 1, 30),
    "growth_limit_percent": ("the growth limit", 1, 200),
}
T = TypeVar("T")


def validate(inputs: WeekInputs) -> tuple[str, ...]:
    """Every value out of range at once: one sentence each, naming the setting and the value."""
    return tuple(sound(inputs)[1])


def sound(inputs: WeekInputs) -> tuple[WeekInputs, list[str]]:
    """The nearest inputs a week can be built from, and a sentence for each thing mended."""
    said: list[str] = []
    routine = _routine(inputs.routine, said)
    pieces = _pieces(inputs.pieces, said)
    mended = replace(
        inputs,
        days=_days(inputs.days, len(routine.sessions), said),
        routine=routine,
        pieces=pieces,
        scale=inputs.scale and _scale(inputs.scale, said),
        spots=_spots(inputs.spots, {piece.place for piece in pieces}, said),
        favourites=_favourites(inputs.favourites, said),
        history=_history(inputs.history, said),
    )
    return replace(mended, pins=sound_pins(mended, said)), said


def _days(days: tuple[DayIn, ...], sessions: int, said: list[str]) -> tuple[DayIn, ...]:
    if not days:
        said.append("The week has no days: nothing is planned.")
        return ()
    kept = _once(
        sorted(days, key=lambda day: day.date),
        lambda day: day.date,
        lambda day: f"{day_and_month(day.date)} stands in the week twice: the first one counts.",
        said,
    )
    if len(kept) > MOST_DAYS:
        said.append(f"The week has {len(kept)} days: only the first {MOST_DAYS} are planned.")
        kept = kept[:MOST_DAYS]
    kept = [_day(day, sessions, said) for day in kept]
    if not any(day.minutes and not day.off for day in kept):
        said.append("The week has no practice day: every day is off or has 0 minutes.")
    return tuple(kept)


def _day(day: DayIn, sessions: int, said: list[str]) -> DayIn:
    name = weekday(day.date)
    if not 0 <= day.minutes <= parts.MOST_MINUTES:
        nearest = _within(day.minutes, 0, parts.MOST_MINUTES)
        said.append(
            f"Minutes on {name} are {day.minutes}, not between 0 and {parts.MOST_MINUTES}:"
            f" {nearest} are planned."
        )
        day = replace(day, minutes=nearest)
    if day.sessions is not None:
        held = tuple(sorted({n for n in day.sessions if 1 <= n <= sessions}))
        for number in sorted(set(day.sessions) - set(held)):
            said.append(f"{name} names session {number}; the routine has {sessions}.")
        if not held and day.minutes and not day.off:
            said.append(f"{name} has {minutes_of(day.minutes)} but no session: all are used.")
        day = replace(day, sessions=held or None)
    return day


def _routine(routine: Routine, said: list[str]) -> Routine:
    sessions = routine.sessions
    if not sessions:
        said.append("The routine names no session: one is planned.")
        sessions = (SessionIn("Practice"),)
    if len(sessions) > MOST_SESSIONS:
        said.append(
            f"The routine names {len(sessions)} sessions a day: the first {MOST_SESSIONS} are used."
        )
        sessions = sessions[:MOST_SESSIONS]
    known = [session.start for session in sessions if session.start is not None]
    if known != sorted(known):
        listed = ", ".join(f"{start:%H:%M}" for start in known)
        said.append(f"The sessions start at {listed}, which is not in order: no start is shown.")
        sessions = tuple(replace(session, start=None) for session in sessions)
    values = {}
    for name, (words, least, most) in SETTINGS.items():
        value = getattr(routine, name)
        values[name] = _within(value, least, most)
        if value != values[name]:
            unit = "%" if name == "growth_limit_percent" else "minutes"
            said.append(
                f"Setting “{words}” is {value} {unit}, not between {least} and {most}:"
                f" {values[name]} is used."
            )
    return replace(routine, sessions=sessions, **values)


def _pieces(pieces: tuple[PieceIn, ...], said: list[str]) -> tuple[PieceIn, ...]:
    kept: list[PieceIn] = []
    for piece in sorted(pieces, key=lambda piece: piece.place):
        if piece.place not in (1, 2):
            said.append(f"Place of {piece.title} is {piece.place}, not 1 or 2: it is left out.")
        elif piece.place in {other.place for other in kept}:
            said.append(f"Place {piece.place} is taken twice: {piece.title} is left out.")
        elif any(piece.id == other.id for other in kept):
            said.append(f"{piece.title} is in hand twice: the first one counts.")
        else:
            kept.append(_piece(piece, said))
    return tuple(kept)


def _piece(piece: PieceIn, said: list[str]) -> PieceIn:
    if piece.run_every is None or RUN_EVERY[0] <= piece.run_every <= RUN_EVERY[1]:
        return piece
    nearest = _within(piece.run_every, *RUN_EVERY)
    said.append(
        f"The run-through of {piece.title} is every {piece.run_every} days,"
        f" not between {RUN_EVERY[0]} and {RUN_EVERY[1]}: {nearest} is used."
    )
    return replace(piece, run_every=nearest)


def _spots(spots: tuple[SpotIn, ...], places: set[int], said: list[str]) -> tuple[SpotIn, ...]:
    kept = []
    for spot in _once(
        spots,
        lambda spot: spot.id,
        lambda spot: f"The spot in {spot.bars} is listed twice: the first one counts.",
        said,
    ):
        if spot.piece not in places:
            said.append(
                f"The spot in {spot.bars} belongs to piece {spot.piece}, which is not in hand:"
                " it is left out."
            )
            continue
        name = f"the spot in {spot.bars}"
        now = _tempo(f"Tempo now of {name}", spot.tempo_now, said)
        goal = _goal(f"Tempo wanted of {name}", spot.tempo_goal, now, said)
        kept.append(replace(spot, tempo_now=now, tempo_goal=goal))
    return tuple(kept)


def _scale(scale: ScaleIn, said: list[str]) -> ScaleIn:
    if scale.tempo_now is None or scale.tempo_goal is None:
        return scale
    now = _tempo(f"Tempo now of {scale.title}", scale.tempo_now, said)
    goal = _goal(f"Tempo wanted of {scale.title}", scale.tempo_goal, now, said)
    return replace(scale, tempo_now=now, tempo_goal=goal)


def _tempo(name: str, tempo: int, said: list[str]) -> int:
    nearest = _within(tempo, *TEMPOS)
    if nearest != tempo:
        said.append(
            f"{name} is {tempo}, not between {TEMPOS[0]} and {TEMPOS[1]}: {nearest} is used."
        )
    return nearest


def _goal(name: str, goal: int, now: int, said: list[str]) -> int:
    goal = _tempo(name, goal, said)
    if goal < now:
        said.append(f"{name} is {goal}, below the tempo now ({now}): {now} is used for both.")
    return max(goal, now)


def _favourites(favourites: tuple[FavouriteIn, ...], said: list[str]) -> tuple[FavouriteIn, ...]:
    def twice(each: FavouriteIn) -> str:
        return f"Favourite {each.title} is listed twice: the first one counts."

    return tuple(_once(favourites, lambda each: each.id, twice, said))


def _history(history: History, said: list[str]) -> History:
    possible = [entry for entry in history.logged if _is_possible(entry, said)]
    a_day: Counter[dt.date] = Counter()
    for entry in possible:
        a_day[entry.date] += entry.minutes
    impossible = {day for day, minutes in a_day.items() if minutes > MINUTES_IN_A_DAY}
    for day in sorted(impossible):
        said.append(
            f"The log of {day_and_month(day)} says {a_day[day]:,} minutes; a day has"
            f" {MINUTES_IN_A_DAY:,}. That day is left out of the sums."
        )
    kept = tuple(entry for entry in possible if entry.date not in impossible)
    return replace(history, logged=kept)


def _is_possible(entry: Logged, said: list[str]) -> bool:
    if entry.minutes < 0:
        said.append(
            f"The log of {day_and_month(entry.date)} says {entry.minutes} minutes for"
            f" {entry.key}: it is left out of the sums."
        )
    return entry.minutes >= 0


def _once(
    values: Iterable[T], key: Callable[[T], object], twice: Callable[[T], str], said: list[str]
) -> list[T]:
    kept: dict[object, T] = {}
    for value in values:
        if key(value) in kept:
            said.append(twice(value))
        kept.setdefault(key(value), value)
    return list(kept.values())


def _within(value: int, least: int, most: int) -> int:
    return max(least, min(most, value))
