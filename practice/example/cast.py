"""The invented people, pieces and sentences, read from the data files beside this module.

Weeks are counted from the week of today, which is 0. Days "A" to "E" are teaching days.
"""

from __future__ import annotations

import datetime as dt
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any, Final

DATA: Final = Path(__file__).resolve().parent / "data"
WEEKDAYS: Final = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
LATE: Final = 99  # a week that never comes


@dataclass(frozen=True)
class Person:
    """A grown-up of a family."""

    name: str
    relation: str = ""
    email: str = ""
    phone: str = ""


@dataclass(frozen=True)
class PieceStep:
    """A piece from one week to another; `until` is LATE while it is in hand."""

    piece: str
    since: int
    until: int = LATE
    liked: bool = False


@dataclass(frozen=True)
class ScaleStep:
    """`bowings` are pattern ids, or "spot:<piece>:<n>" for the n-th spot of a piece, from 1;
    `string` and what follows it as in `practice.music.how`."""

    since: int
    key: str
    form: str = "major"
    octaves: int = 1
    bowings: tuple[str, ...] = ()
    now: int = 60
    goal: int = 88
    string: str = ""
    over: int = 0
    open_strings: str = "use"
    fingers: str = ""


@dataclass(frozen=True)
class EtudeStep:
    since: int
    work: str
    lines: str = ""
    cue: str = ""


@dataclass(frozen=True)
class Event:
    """What became of one week's lesson: "missed", "family", "teacher", or "moved" to a time."""

    week: int
    what: str
    notice: bool | None = None
    made_up: int | None = None
    to: dt.time | None = None


@dataclass(frozen=True)
class Minutes:
    school: int
    saturday: int
    sunday: int
    lesson: int
    off: tuple[str, ...] = ()

    def by_weekday(self, lesson_weekday: int) -> list[int]:
        """Budgets, Monday first."""
        usual = [self.school] * 5 + [self.saturday, self.sunday]
        usual = [0 if WEEKDAYS[n] in self.off else minutes for n, minutes in enumerate(usual)]
        usual[lesson_weekday] = self.lesson
        return usual


@dataclass(frozen=True)
class Pupil:
    """One student: who, when the lesson is, how home keeps its log, and the path so far.

    `diligence` is the share of days on which there is practice; `pace` how fast it bears fruit
    (1 is usual); `habit` how the log is kept (see home.py); `turn` the weeks of a fortnightly time;
    `word` the latest word from home.
    """

    key: str
    given: str
    family: str
    says: str
    age: float
    since: int
    size: str
    day: str
    time: dt.time
    length: int
    sessions: tuple[tuple[str, dt.time | None], ...]
    minutes: Minutes
    habit: str
    diligence: float
    pace: float
    difficulty: int
    style: str = "reader"
    on_screen: bool = False
    shared: str = ""
    every: int = 1
    turn: int = 0
    paused: int | None = None
    notes: str = ""
    word: str = ""
    pieces: tuple[PieceStep, ...] = ()
    favourites: tuple[str, ...] = ()
    scales: tuple[ScaleStep, ...] = ()
    etudes: tuple[EtudeStep, ...] = ()
    events: tuple[Event, ...] = ()


@dataclass(frozen=True)
class Household:
    name: str
    students: tuple[Pupil, ...]
    guardians: tuple[Person, ...] = ()
    notes: str = ""
    shares_violin: bool = False


@dataclass(frozen=True)
class IllDay:
    """A day of the teacher's illness; `made_up` is the week of the make-up by student."""

    day: str
    week: int
    made_up: Mapping[str, int] = field(default_factory=dict)


@dataclass(frozen=True)
class Teacher:
    name: str
    teacher: str
    zone: str
    username: str
    place: str
    screen: str
    ill: IllDay


@dataclass(frozen=True)
class SpotText:
    """Bars, cue, tempo at first and tempo wanted; `abc` is a whole tune or nothing, `easier` the
    key of the second exercise."""

    bars: tuple[int, int]
    what: str
    now: int
    goal: int
    abc: str = ""
    easier: str = ""


@dataclass(frozen=True)
class PieceText:
    """`work` is a key of the catalogue; without one the piece is the teacher's own."""

    work: str = ""
    title: str = ""
    key: str = ""
    difficulty: int | None = None
    techniques: tuple[str, ...] = ()
    spots: tuple[SpotText, ...] = ()


@dataclass(frozen=True)
class Cast:
    teacher: Teacher
    households: tuple[Household, ...]


def load_cast() -> Cast:
    data = _read("cast.toml")
    ill = data["studio"].pop("ill")
    teacher = Teacher(**data["studio"], ill=IllDay(**ill))
    return Cast(teacher, tuple(_household(each) for each in data["families"]))


@cache
def load_pieces() -> Mapping[str, PieceText]:
    """By the short name the cast uses."""
    return {name: _piece(each) for name, each in _read("pieces.toml").items()}


@cache
def load_sentences() -> Mapping[str, Mapping[str, list[str]]]:
    """The teacher's: "listen" by kind of student, "check", and "notes" private or for the sheet."""
    return _read("sentences.toml")


@cache
def load_words() -> Mapping[str, list[str]]:
    """Words from home: by kind of writer, and by student for those who write their own."""
    return _read("words.toml")


@cache
def load_names() -> Mapping[str, list[str]]:
    return _read("names.toml")


def _read(name: str) -> dict[str, Any]:
    with (DATA / name).open("rb") as file:
        return tomllib.load(file)


def _household(data: dict[str, Any]) -> Household:
    return Household(
        name=data["name"],
        notes=data.get("notes", ""),
        shares_violin=data.get("shares_violin", False),
        guardians=tuple(Person(**each) for each in data.get("guardians", ())),
        students=tuple(_pupil(each) for each in data["students"]),
    )


def _pupil(data: dict[str, Any]) -> Pupil:
    data = dict(data)
    minutes = dict(data.pop("minutes"))
    off = tuple(minutes.pop("off", ()))
    return Pupil(
        time=dt.time.fromisoformat(data.pop("time")),
        minutes=Minutes(**minutes, off=off),
        sessions=tuple(
            (name, dt.time.fromisoformat(start) if start else None)
            for name, start in data.pop("sessions")
        ),
        pieces=tuple(_piece_step(each) for each in data.pop("pieces")),
        favourites=tuple(data.pop("favourites", ())),
        scales=tuple(_scale_step(each) for each in data.pop("scales")),
        etudes=tuple(_etude_step(each) for each in data.pop("etudes")),
        events=tuple(_event(each) for each in data.pop("events", ())),
        **data,
    )


def _piece_step(data: dict[str, Any]) -> PieceStep:
    return PieceStep(
        data["piece"], data["from"], data.get("to", LATE), liked=data.get("liked", False)
    )


def _scale_step(data: dict[str, Any]) -> ScaleStep:
    rest = {name: value for name, value in data.items() if name not in ("from", "bowings")}
    return ScaleStep(since=data["from"], bowings=tuple(data["bowings"]), **rest)


def _etude_step(data: dict[str, Any]) -> EtudeStep:
    rest = {name: value for name, value in data.items() if name != "from"}
    return EtudeStep(since=data["from"], **rest)


def _event(data: dict[str, Any]) -> Event:
    to = data.get("to")
    rest = {name: value for name, value in data.items() if name != "to"}
    return Event(to=dt.time.fromisoformat(to) if to else None, **rest)


def _piece(data: dict[str, Any]) -> PieceText:
    return PieceText(
        work=data.get("work", ""),
        title=data.get("title", ""),
        key=data.get("key", ""),
        difficulty=data.get("difficulty"),
        techniques=tuple(data.get("techniques", ())),
        spots=tuple(_spot(each, data) for each in data["spots"]),
    )


def _spot(data: dict[str, Any], piece: dict[str, Any]) -> SpotText:
    first, last = data["bars"]
    abc = ""
    if "abc" in data:
        tonic, mode = piece["key"].split()
        key = tonic + ("m" if mode == "minor" else "")
        abc = f"X:1\nM:{piece['meter']}\nL:1/8\nK:{key}\n{data['abc']}"
    easier = data.get("easier", "")
    return SpotText((first, last), data["what"], data["now"], data["goal"], abc, easier)
