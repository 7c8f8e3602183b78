"""More students for large studios, and earlier years for students who have been there long.

Everything is put together at random from the cast's own pieces and lists of names.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from random import Random
from typing import Final

from practice.example.cast import (
    EtudeStep,
    Event,
    Household,
    Minutes,
    PieceStep,
    Pupil,
    ScaleStep,
    load_names,
)
from practice.example.rooms import Room
from practice.example.seasons import TEACHING_DAYS
from practice.music.keys import MAJOR, USUAL_ORDER

MOST_STUDENTS: Final = 75  # more do not fit into one teacher's five days
TOLD_SINCE: Final = -24  # from here on the cast's own paths are written down
SIZES: Final = ((6, "1/8"), (8, "1/4"), (10, "1/2"), (12, "3/4"), (200, "4/4"))
HABITS: Final = ("exact", "exact", "late", "round", "badly", "over", "paper", "paper", "file")
BOWINGS: Final = ("detache", "slur2", "long-short", "slur4", "2s2d", "3s1d", "martele", "slur8")
MINOR_FORMS: Final = ("natural", "harmonic", "melodic")
TWO_SESSIONS: Final = (("Before school", dt.time(7, 15)), ("After school", dt.time(17)))
A_MONDAY: Final = dt.date(2024, 1, 1)  # any will do: free hours are kept by weekday


class TooMany(ValueError):
    """More students than hours in the teaching days."""


@dataclass(frozen=True)
class Shelf:
    """Names of pieces and keys of etudes with their difficulty, 1 to 10."""

    pieces: Sequence[tuple[int, str]]
    etudes: Sequence[tuple[int, str]]

    def piece(self, rng: Random, difficulty: float, but: set[str]) -> str:
        return _near(rng, self.pieces, difficulty, but)

    def etude(self, rng: Random, difficulty: float, but: set[str]) -> str:
        return _near(rng, self.etudes, difficulty, but)


def _near(rng: Random, found: Iterable[tuple[int, str]], difficulty: float, but: set[str]) -> str:
    allowed = [(abs(each - difficulty), name) for each, name in found if name not in but]
    nearest = sorted(allowed)[:6]
    return rng.choice(nearest)[1]


def with_earlier_years(pupil: Pupil, first_week: int, shelf: Shelf, seed: int) -> Pupil:
    """The same pupil with a path from the first week on, where none is written down."""
    first = max(first_week, -pupil.since)
    if first >= TOLD_SINCE:
        return pupil
    rng = Random(f"{seed}:{pupil.key}:before")  # noqa: S311
    path = _path(rng, shelf, (first, TOLD_SINCE), (1.0, float(pupil.difficulty)))
    return replace(
        pupil,
        pieces=(*path.pieces, *pupil.pieces),
        scales=(*path.scales, *pupil.scales),
        etudes=(*path.etudes, *pupil.etudes),
        events=(*path.events, *pupil.events),
    )


@dataclass(frozen=True)
class _Path:
    pieces: tuple[PieceStep, ...]
    scales: tuple[ScaleStep, ...]
    etudes: tuple[EtudeStep, ...]
    events: tuple[Event, ...]


At = Callable[[int], float]  # difficulty in a week


def _path(
    rng: Random, shelf: Shelf, weeks: tuple[int, int], difficulty: tuple[float, float]
) -> _Path:
    """`difficulty` at the first and at the last week."""
    first, last = weeks

    def at(week: int) -> float:
        low, high = difficulty
        return low + (high - low) * (week - first) / max(1, last - first)

    one = list(_pieces(rng, shelf, first, last, at))
    two = list(_pieces(rng, shelf, first + 5, last, at, {step.piece for step in one}))
    return _Path(
        pieces=tuple(sorted((*one, *two), key=lambda step: step.since)),
        scales=tuple(_scales(rng, first, last, at)),
        etudes=tuple(_etudes(rng, shelf, first, last, at)),
        events=tuple(_events(rng, first, last)),
    )


def _pieces(
    rng: Random,
    shelf: Shelf,
    first: int,
    last: int,
    at: At,
    but: set[str] | None = None,
) -> Iterator[PieceStep]:
    """One piece after the other; the last one ends where the told path begins."""
    week, played = first, set(but or ())
    while week < last:
        until = min(week + rng.randrange(8, 16), last)
        if len(played) > len(shelf.pieces) - 8:
            played = set(but or ())
        name = shelf.piece(rng, at(week), played)
        played.add(name)
        yield PieceStep(name, week, until, liked=rng.random() < 0.4)
        week = until


def _scales(rng: Random, first: int, last: int, at: At) -> Iterator[ScaleStep]:
    week, turn = first, rng.randrange(3)
    while week < last:
        key = USUAL_ORDER[turn % len(USUAL_ORDER)]
        major = key.mode == MAJOR
        goal = rng.choice((72, 80, 88, 96))
        hard = at(week)
        yield ScaleStep(
            since=week,
            key=key.name,
            form="major" if major else rng.choice(MINOR_FORMS),
            octaves=1 if hard < 2 else 2 if hard < 6 else 3,
            bowings=(BOWINGS[min(len(BOWINGS) - 1, rng.randrange(int(hard) + 2))],),
            now=goal - 24,
            goal=goal,
        )
        week, turn = week + rng.randrange(4, 10), turn + rng.randrange(1, 3)


def _etudes(rng: Random, shelf: Shelf, first: int, last: int, at: At) -> Iterator[EtudeStep]:
    week, played = first, set[str]()
    while week < last:
        if len(played) > len(shelf.etudes) - 8:
            played = set()
        work = shelf.etude(rng, at(week), played)
        played.add(work)
        yield EtudeStep(week, work, lines=rng.choice(("all of it", "first half", "lines 1 to 3")))
        week += rng.randrange(5, 11)


def _events(rng: Random, first: int, last: int) -> Iterator[Event]:
    for week in range(first + 1, last):
        chance = rng.random()
        if chance < 0.015:
            yield Event(week, "missed")
        elif chance < 0.03:
            yield Event(week, "family", notice=False)
        elif chance < 0.06:
            yield Event(week, "family", notice=True, made_up=week + 1)
        elif chance < 0.07:
            yield Event(week, "teacher", made_up=week + 2)


def more_households(
    count: int, cast: Iterable[Household], years: int, shelf: Shelf, seed: int
) -> list[Household]:
    """So many more students, one to three to a family, at times that are still free."""
    rng = Random(f"{seed}:more")  # noqa: S311
    hours = _Hours(pupil for each in cast for pupil in each.students)
    found: list[Household] = []
    while count:
        family = rng.choice(load_names()["family"])
        size = min(count, rng.choice((1, 1, 1, 2, 2, 3)))
        pupils = [
            _stranger(rng, f"more-{count - n}", family, years, shelf, hours) for n in range(size)
        ]
        found.append(Household(family, tuple(pupils)))
        count -= size
    return found


class _Hours:
    """Which times of the teaching days are free; afternoons go first."""

    def __init__(self, pupils: Iterable[Pupil]) -> None:
        self.room = Room()
        self.load = dict.fromkeys(TEACHING_DAYS, 0)
        for pupil in pupils:
            self._take(pupil.day, pupil.time, pupil.length)

    def _take(self, letter: str, time: dt.time, minutes: int) -> None:
        self.room.take(self._day(letter), time, minutes)
        self.load[letter] += minutes

    def _day(self, letter: str) -> dt.date:
        return A_MONDAY + dt.timedelta(days=TEACHING_DAYS.index(letter))

    def next(self, minutes: int) -> tuple[str, dt.time]:
        letters = sorted(TEACHING_DAYS, key=lambda letter: (self.load[letter], letter))
        for opens in (dt.time(13), dt.time(9)):
            for letter in letters:
                free = self.room.first_free([self._day(letter)], minutes, opens)
                if free is not None:
                    self._take(letter, free[1], minutes)
                    return letter, free[1]
        raise TooMany("There are no free hours left in the teaching days.")


def _stranger(rng: Random, key: str, family: str, years: int, shelf: Shelf, hours: _Hours) -> Pupil:
    since = max(20, int(years * 52 * rng.uniform(0.9, 1.0))) if years else rng.randrange(20, 200)
    age = rng.uniform(5.5, 10) + since / 52
    difficulty = max(1, min(8, round(since / 52 * rng.uniform(0.9, 1.3))))
    length = 30 if age < 11 else 45
    day, time = hours.next(length)
    minutes = min(60, 10 + 6 * difficulty)
    path = _path(
        rng, shelf, (max(TOLD_SINCE, -since), 8), (max(1.0, difficulty - 0.5), difficulty + 0.3)
    )
    return Pupil(
        key=key,
        given=rng.choice(load_names()["given"]),
        family=family,
        says=rng.choice(("she", "he")),
        age=age,
        since=since,
        size=next(size for limit, size in SIZES if age < limit),
        day=day,
        time=time,
        length=length,
        sessions=(("After school", dt.time(17)),) if minutes < 40 else TWO_SESSIONS,
        minutes=Minutes(minutes, minutes + 5, rng.choice((0, minutes)), 10),
        habit=rng.choice(HABITS),
        diligence=rng.uniform(0.6, 0.95),
        pace=rng.uniform(0.8, 1.1),
        difficulty=difficulty,
        pieces=path.pieces,
        scales=path.scales,
        etudes=path.etudes,
        events=path.events,
    )
