"""Invented students for the back-test: how they practise, learn, and log.

How students learn here is our own invention and no model of anyone: a practice of a spot adds a
little tempo (steadily, more slowly near a limit, or with pauses), every day has its form, and a
day without costs a little. What is measured with them is the program.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field
from enum import StrEnum
from random import Random

from practice.figures.evidence import TempoPoint
from practice.music.metronome import nearest
from practice.planning.types import (
    EtudeIn,
    ExploreIn,
    FavouriteIn,
    Item,
    Logged,
    Part,
    PieceIn,
    Routine,
    ScaleIn,
    SessionIn,
    SpotIn,
    SpotState,
    Stage,
    WeekInputs,
)

BUDGETS = (8, 10, 12, 15, 20, 25, 30, 40, 60, 90, 180)
NAMES = ("Before school", "After school", "Evening")
MOST_FAVOURITES = 5
SHORTEST_PIECE = 5  # weeks


class Logging(StrEnum):
    EVERY_DAY = "every day, as it was"
    SOMETIMES = "half of the days"
    NEVER = "never"
    TICKS_ALL = "all ticked, played or not"
    BOASTS = "tempos a tenth too high"


class Learning(StrEnum):
    STEADY = "steady"
    SLOWING = "slowing"
    PAUSING = "pausing"


@dataclass
class Spot:
    """`tempo` is what the student can really play; `reached` the first lesson at which
    the goal was heard."""

    id: int
    place: int
    start: int
    goal: int
    hardness: int
    opened: dt.date
    ask_after: int
    tempo: float = 0
    state: SpotState = SpotState.TROUBLED
    lessons_at_goal: int = 0
    lessons: int = 0
    last_logged: dt.date | None = None
    reached: dt.date | None = None
    points: list[TempoPoint] = field(default_factory=list)


@dataclass
class Student:
    chance: Random
    logging: Logging
    learning: Learning
    budget: int
    weekdays: frozenset[int]
    sessions: int
    diligence: float
    pace: float
    form: float = 0
    pause: int = 0
    made: int = 0
    etude: int = 1
    scale: int = 1
    begun: dict[int, dt.date] = field(default_factory=dict)
    pieces: dict[int, PieceIn] = field(default_factory=dict)
    spots: list[Spot] = field(default_factory=list)
    favourites: dict[int, dt.date | None] = field(default_factory=dict)
    logged: list[Logged] = field(default_factory=list)
    days_off: list[dt.date] = field(default_factory=list)
    left_out: tuple[str, ...] = ()

    def number(self) -> int:
        self.made += 1
        return self.made


def student(seed: int, number: int) -> Student:
    """The n-th student of a back-test; ways of logging and learning come in turn."""
    chance = Random(f"{seed}:{number}")
    budget = chance.choice(BUDGETS)
    loggings, learnings = list(Logging), list(Learning)
    return Student(
        chance=chance,
        logging=loggings[number % len(loggings)],
        learning=learnings[number // len(loggings) % len(learnings)],
        budget=budget,
        weekdays=frozenset(chance.sample(range(7), chance.choice((3, 4, 5, 5, 6, 6, 7)))),
        sessions=1 if budget < 15 else chance.randint(1, 3),
        diligence=chance.uniform(0.45, 0.95),
        pace=chance.uniform(0.02, 0.08),
    )


def take_up(who: Student, place: int, today: dt.date) -> None:
    """A new piece with two to four spots."""
    piece = who.number()
    who.pieces[place] = PieceIn(piece, place, f"Piece {piece}", Stage.READING)
    who.begun[place] = today
    for hardness in range(1, who.chance.randint(2, 4) + 1):
        start = nearest(who.chance.randint(44, 84))
        goal = nearest(round(start * who.chance.uniform(1.2, 1.6)))
        ask_after = who.chance.randint(3, 9)
        who.spots.append(
            Spot(who.number(), place, start, goal, hardness, today, ask_after, tempo=start)
        )


def inputs_of(who: Student, **rest: object) -> WeekInputs:
    """What the teacher's program knows of this student; `rest` are days and history."""
    return WeekInputs(
        routine=Routine(tuple(SessionIn(NAMES[n]) for n in range(who.sessions))),
        scale=ScaleIn(who.scale, f"Scale {who.scale}"),
        etude=EtudeIn(who.etude, f"Etude {who.etude}"),
        pieces=tuple(who.pieces.values()),
        spots=tuple(_spot(spot) for spot in who.spots),
        favourites=tuple(
            FavouriteIn(key, f"Favourite {key}", last) for key, last in who.favourites.items()
        ),
        explore=ExploreIn("Two voices"),
        **rest,  # type: ignore[arg-type]
    )


def _spot(spot: Spot) -> SpotIn:
    now = min(spot.goal, spot.points[-1].bpm if spot.points else spot.start)
    return SpotIn(
        spot.id,
        spot.place,
        f"bar {spot.id}",
        spot.state,
        now,
        spot.goal,
        spot.hardness,
        spot.last_logged,
    )


def practise(who: Student, day: dt.date, items: tuple[Item, ...]) -> None:
    """One day at home, played or not, and what is logged of it."""
    plays = bool(items) and who.chance.random() < who.diligence
    who.form = 0.5 * who.form + who.chance.gauss(0, 0.02)
    played = [item for item in items if plays and who.chance.random() < 0.93]
    keys = {item.key for item in played}
    for spot in who.spots:
        if f"spot:{spot.id}" in keys:
            spot.tempo += _gain(who, spot)
        else:
            spot.tempo = max(spot.start, spot.tempo * 0.999)
    _log(who, day, played, items)


def _gain(who: Student, spot: Spot) -> float:
    if who.pause > 0:
        who.pause -= 1
        return 0
    if who.learning == Learning.PAUSING and who.chance.random() < 0.04:
        who.pause = who.chance.randint(4, 20)
    far = float(spot.goal - spot.start)
    if who.learning == Learning.SLOWING:
        far = 1.5 * (spot.start + 1.2 * far - spot.tempo)
    return max(0.0, who.chance.gauss(1, 0.8)) * who.pace * far


def _log(who: Student, day: dt.date, played: list[Item], planned: tuple[Item, ...]) -> None:
    if who.logging == Logging.NEVER:
        return
    if who.logging == Logging.SOMETIMES and who.chance.random() < 0.5:
        return
    spots = {f"spot:{spot.id}": spot for spot in who.spots}
    for item in planned if who.logging == Logging.TICKS_ALL else played:
        who.logged.append(Logged(day, item.key, item.minutes))
        if item.part == Part.FAVOURITE:
            who.favourites[int(item.key.partition(":")[2])] = day
        if item.key in spots:
            spots[item.key].last_logged = day
            spots[item.key].points.append(TempoPoint(day, _told(who, spots[item.key])))


def _told(who: Student, spot: Spot) -> int:
    """The tempo home writes down: a mark of the metronome near what was played."""
    if who.logging == Logging.TICKS_ALL and spot.points:
        return spot.points[-1].bpm
    boast = 1.1 if who.logging == Logging.BOASTS else 1.0
    return nearest(round(spot.tempo * (1 + who.form) * boast))


def lesson(who: Student, today: dt.date) -> list[Spot]:
    """The teacher hears every spot, decides, and gives back the spots solved today."""
    for spot in who.spots:
        heard = nearest(round(spot.tempo * (1 + who.form)))
        spot.points.append(TempoPoint(today, heard))
        spot.lessons += 1
        at_goal = heard >= spot.goal
        if at_goal and spot.reached is None:
            spot.reached = today
        spot.lessons_at_goal = spot.lessons_at_goal + 1 if at_goal else 0
        halfway = 2 * heard >= spot.start + spot.goal
        spot.state = SpotState.FIRMING if halfway else SpotState.TROUBLED
        spot.state = SpotState.FIRM if at_goal else spot.state
    solved = [spot for spot in who.spots if spot.lessons_at_goal >= 2]
    who.spots = [spot for spot in who.spots if spot.lessons_at_goal < 2]
    for place in list(who.pieces):
        _judge_piece(who, place, today)
    return solved


def _judge_piece(who: Student, place: int, today: dt.date) -> None:
    """A piece without spots is finished after some weeks and becomes a favourite."""
    left = [spot for spot in who.spots if spot.place == place]
    piece = who.pieces[place]
    if left:
        best = max(spot.state != SpotState.TROUBLED for spot in left)
        stage = Stage.WORKING_UP if best else Stage.READING
        who.pieces[place] = PieceIn(piece.id, place, piece.title, stage)
    elif (today - who.begun[place]).days >= 7 * SHORTEST_PIECE:
        who.favourites[piece.id] = None
        if len(who.favourites) > MOST_FAVOURITES:
            del who.favourites[next(iter(who.favourites))]
        take_up(who, place, today)
    else:
        who.pieces[place] = PieceIn(piece.id, place, piece.title, Stage.POLISHING)
