"""What happens at home, and what of it finds its way into the log."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from random import Random
from typing import Final
from zoneinfo import ZoneInfo

from practice.example.cast import Pupil
from practice.example.moments import Moment, tempo_steps
from practice.logs.models import MOST_MINUTES_AN_ITEM, LogEntry
from practice.planning.types import Part
from practice.plans.models import Item

EVENING: Final = dt.time(18, 20)
EVE: Final = dt.time(21, 4)
SKIPPED: Final = (Part.STRETCH, Part.SCALE, Part.ETUDE)  # what children like to leave out
Minutes = Callable[[Random, int], int]
Tempos = Mapping[str, tuple[int, int]]


@dataclass(frozen=True)
class Habit:
    """How a home keeps its log.

    days: share of the practised days that are logged. when: at each day's end, on the eve of
    the lesson, or by the teacher at the next lesson. tempo: share of spots told with a tempo.
    """

    source: LogEntry.Source = LogEntry.Source.HOME
    when: str = "evening"
    days: float = 1.0
    minutes: str = "near"
    tempo: float = 0.8
    words: float = 0.35


HABITS: Final[Mapping[str, Habit]] = {
    "exact": Habit(),
    "late": Habit(when="eve", days=0.9, tempo=0.5, words=0.4),
    "round": Habit(minutes="round", days=0.95, tempo=0.4, words=0.3),
    "badly": Habit(days=0.35, minutes="planned", tempo=0.1, words=0.25),
    "never": Habit(days=0.0, words=0.08),
    "over": Habit(minutes="long", tempo=0.9, words=0.45),
    "paper": Habit(LogEntry.Source.PAPER, "lesson", minutes="planned", tempo=0.15, words=0.25),
    "file": Habit(LogEntry.Source.FILE, "lesson", tempo=0.6, words=0.35),
}


FORGETFUL: Final = Habit(days=0.2, minutes="planned", tempo=0.1, words=0.3)


def habit_of(pupil: Pupil, week: int) -> Habit:
    """In two homes every other week is logged by somebody who forgets."""
    if pupil.habit != "two homes":
        return HABITS[pupil.habit]
    return HABITS["exact"] if week % 2 == 0 else FORGETFUL


def round_minutes(rng: Random, planned: int) -> int:
    """The shortest items are only ticked; nobody rounds a stretch."""
    return planned if planned < 3 else max(5, 5 * round(planned / 5))


def near_minutes(rng: Random, planned: int) -> int:
    return max(1, planned + rng.choice((-1, 0, 0, 0, 0, 1, 1, 2)))


def long_minutes(rng: Random, planned: int) -> int:
    return max(planned, round(planned * rng.uniform(1.1, 1.8)))


MINUTES: Final[Mapping[str, Minutes]] = {
    "planned": lambda _, planned: planned,
    "near": near_minutes,
    "round": round_minutes,
    "long": long_minutes,
}


@dataclass(frozen=True)
class Week:
    """A planned week as home sees it. `handed_in` is the lesson at which paper or file comes
    back, in UTC; None when it has not come back yet. `last` is the last day that counts."""

    number: int
    starts: dt.date
    last: dt.date
    handed_in: dt.datetime | None


def entries(
    pupil: Pupil, rng: Random, items: Iterable[Item], moment: Moment, week: Week, zone: ZoneInfo
) -> list[LogEntry]:
    """The log of a week, rows not saved yet."""
    habit = habit_of(pupil, week.number)
    by_day: dict[dt.date, list[Item]] = defaultdict(list)
    for item in items:
        if item.date <= week.last:
            by_day[item.date].append(item)
    tempos = _tempos(moment)
    found: list[LogEntry] = []
    for day, planned in sorted(by_day.items()):
        played = _played(pupil, rng, planned, moment.effort)
        told = rng.random() < habit.days
        when = _told_at(habit, day, week, zone)
        if not played or not told or when is None:
            continue
        found += [
            _entry(item, habit, rng, tempos, when(pupil, item), week.starts) for item in played
        ]
    return found


def _played(pupil: Pupil, rng: Random, planned: list[Item], effort: float) -> list[Item]:
    """Nothing on some days; on others the end of the day is lost, or what is not liked."""
    if rng.random() > effort:
        return []
    played = [item for item in planned if item.minutes]
    kind = rng.random()
    if kind < 0.18 and len(played) > 2:
        played = played[: rng.randrange(2, len(played))]
    elif kind < 0.32:
        disliked = SKIPPED[sum(map(ord, pupil.key)) % len(SKIPPED)]
        played = [item for item in played if item.part != disliked]
    return played


def _told_at(
    habit: Habit, day: dt.date, week: Week, zone: ZoneInfo
) -> Callable[[Pupil, Item], dt.datetime] | None:
    """When an item of the day is ticked; None when its tick has not arrived yet."""
    if habit.when == "eve":
        eve = week.starts + dt.timedelta(days=5)
        if day > eve or eve > week.last:
            return None
        return lambda pupil, item: _instant(eve, EVE, zone, item.position)
    if habit.when == "lesson":
        handed_in = week.handed_in
        if handed_in is None or day >= handed_in.date():
            return None
        if habit.source == LogEntry.Source.PAPER:
            return lambda pupil, item: handed_in + dt.timedelta(seconds=2 * item.position)
    return lambda pupil, item: _instant(day, _starts(pupil, item), zone, 5 * item.position)


def _starts(pupil: Pupil, item: Item) -> dt.time:
    named = pupil.sessions[item.session - 1][1] if item.session <= len(pupil.sessions) else None
    return named or EVENING


def _instant(day: dt.date, time: dt.time, zone: ZoneInfo, minutes: int) -> dt.datetime:
    local = dt.datetime.combine(day, time, tzinfo=zone)
    return local.astimezone(dt.UTC) + dt.timedelta(minutes=minutes)


def _tempos(moment: Moment) -> Tempos:
    """By item key: the tempo of the week, and the next step towards the one wanted."""
    found = {}
    for piece in moment.pieces:
        for at in piece.spots:
            steps = tempo_steps(at.tempo, at.spot.tempo_goal)
            found[f"spot:{at.spot.pk}"] = (at.tempo, steps[min(1, len(steps) - 1)])
    return found


def _entry(
    item: Item, habit: Habit, rng: Random, tempos: Tempos, ticked: dt.datetime, starts: dt.date
) -> LogEntry:
    tempo = None
    if item.key in tempos and rng.random() < habit.tempo:
        late = (item.date - starts).days / 6
        tempo = tempos[item.key][1 if rng.random() < late else 0]
        if habit.minutes == "round":
            tempo = 5 * round(tempo / 5)
    minutes = MINUTES[habit.minutes](rng, item.minutes)
    return LogEntry(
        item=item,
        done=True,
        minutes=min(minutes, MOST_MINUTES_AN_ITEM),
        tempo=tempo,
        source=habit.source,
        done_told=ticked,
    )
