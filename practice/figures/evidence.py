"""What speaks for moving on: weeks, days, marks and tempo. Shown, never decided here."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from statistics import NormalDist, median

from practice.figures.trend import Point, Trend, theil_sen
from studio.language import gettext as _
from studio.language import ngettext
from studio.language.days import long_day
from studio.language.numbers import number

STEADY = 3  # the best of three grades of a mark
REMEMBERED = 56  # days: an older pace says little about this one
FEWEST_DAYS = 6  # days with a tempo, below which nothing is said
SHORTEST_SPAN = 14  # days between the first and the last of them
CONFIDENCE = 0.8
# Learning pauses, and slows near its goal: the range's late end is moved out by this factor, with
# which the back-test's ranges hold four times in five.
LATER = 2.5
HORIZON = 365  # days: a range that ends later is left open


@dataclass(frozen=True)
class TempoPoint:
    """A tempo played on a day, at home or at the lesson, in beats a minute."""

    date: dt.date
    bpm: int


@dataclass(frozen=True)
class HeardLesson:
    """What was heard at one lesson: its grades (1 to 3), the tempo, and the chosen bowings."""

    date: dt.date
    grades: tuple[int, ...] = ()
    tempo: int | None = None
    with_bowings: bool = False


@dataclass(frozen=True)
class TempoEvidence:
    """Beats a minute: `now` on the trend and its rise a week with an interval; and the range of
    days for the goal, meant to hold four times in five.

    `latest` is None where the range has no end within a year. All are None with too few tempos,
    and the days also where the goal is reached or the tempo does not rise.
    """

    days: int
    goal: int
    words: str
    now: float | None = None
    a_week: float | None = None
    low: float | None = None
    high: float | None = None
    earliest: dt.date | None = None
    latest: dt.date | None = None


@dataclass(frozen=True)
class Evidence:
    """`steady_running` counts the latest lessons in a row that met the teacher's rule of thumb."""

    weeks: int
    practice_days: int
    lessons: int
    steady_running: int
    steady_wanted: int
    tempo: TempoEvidence | None
    words: tuple[str, ...]


def evidence(
    since: dt.date,
    today: dt.date,
    practised: Iterable[dt.date],
    lessons: Sequence[HeardLesson],
    tempos: Sequence[TempoPoint],
    goal: int | None,
    steady_wanted: int = 2,
    recital: dt.date | None = None,
) -> Evidence:
    """Everything since the day the key or piece was begun. Without a goal no tempo is judged.

    A lesson is steady when every mark heard is, the tempo reaches the goal and the chosen bowings
    were played.
    """
    days = {day for day in practised if since <= day <= today}
    heard = sorted(
        (lesson for lesson in lessons if since <= lesson.date <= today),
        key=lambda lesson: lesson.date,
    )
    running = 0
    for lesson in reversed(heard):
        if not _is_steady(lesson, goal):
            break
        running += 1
    weeks = max(0, (today - since).days) // 7
    inside = [each for each in tempos if each.date >= since]
    tempo = tempo_evidence(inside, goal, today, recital) if goal else None
    words = (
        f"{_weeks(weeks)}, {_practice_days(len(days))}.",
        _steady(running, steady_wanted),
        *([tempo.words] if tempo else []),
    )
    return Evidence(weeks, len(days), len(heard), running, steady_wanted, tempo, words)


def _is_steady(lesson: HeardLesson, goal: int | None) -> bool:
    marks = bool(lesson.grades) and all(grade >= STEADY for grade in lesson.grades)
    tempo = goal is None or (lesson.tempo is not None and lesson.tempo >= goal)
    return marks and tempo and lesson.with_bowings


def tempo_evidence(
    tempos: Iterable[TempoPoint], goal: int, today: dt.date, recital: dt.date | None = None
) -> TempoEvidence:
    """Trend of the last eight weeks, one tempo a day (the median), and when the goal may come."""
    points = _points(tempos, today)
    days = len(points)
    if days < FEWEST_DAYS or points[-1][0] - points[0][0] < SHORTEST_SPAN:
        return TempoEvidence(days, goal, _too_few(days))
    trend = theil_sen(points, CONFIDENCE)
    if trend is None:
        return TempoEvidence(days, goal, _too_few(days))
    trend = theil_sen(points, _cautious(trend, points)) or trend
    found = TempoEvidence(
        days=days,
        goal=goal,
        words=_("Tempo about {now}, {rise} a week, {low} to {high}; the goal is {goal}.").format(
            now=f"{trend.level:.0f}",
            rise=number(trend.slope * 7, "+.1f"),
            low=number(trend.low * 7, "+.1f"),
            high=number(trend.high * 7, "+.1f"),
            goal=goal,
        ),
        now=trend.level,
        a_week=trend.slope * 7,
        low=trend.low * 7,
        high=trend.high * 7,
    )
    return _with_range(found, trend, points, today, recital)


def _points(tempos: Iterable[TempoPoint], today: dt.date) -> list[Point]:
    """Days since today (negative) and the median tempo of each, oldest first."""
    a_day: dict[int, list[int]] = defaultdict(list)
    for each in tempos:
        back = (each.date - today).days
        if -REMEMBERED <= back <= 0:
            a_day[back].append(each.bpm)
    return [(day, median(a_day[day])) for day in sorted(a_day)]


def _cautious(trend: Trend, points: Sequence[Point]) -> float:
    """A higher confidence where one day's tempo leans on the last's: such days tell less.

    Sen's interval takes days as independent; the usual factor for first-order dependence widens.
    """
    left = [y - trend.at(x) for x, y in points]
    whole = sum(each * each for each in left)
    lean = sum(a * b for a, b in zip(left, left[1:], strict=False)) / whole if whole else 0.0
    lean = max(0.0, min(0.8, lean))
    normal = NormalDist()
    wider = normal.inv_cdf((1 + CONFIDENCE) / 2) * ((1 + lean) / (1 - lean)) ** 0.5
    return 2 * normal.cdf(wider) - 1


def _with_range(
    found: TempoEvidence,
    trend: Trend,
    points: Sequence[Point],
    today: dt.date,
    recital: dt.date | None,
) -> TempoEvidence:
    lack = found.goal - trend.level
    if lack <= 0:
        return _said(found, _("The goal is reached."))
    if trend.slope <= 0:
        return _said(found, _("It is not rising, so no day is foreseen."))
    form = sorted(abs(y - trend.at(x)) for x, y in points)[int(CONFIDENCE * (len(points) - 1))]
    soon = int(max(0, lack - form) / trend.high)
    late = (lack + form) / trend.low * LATER if trend.low > 0 else HORIZON + 1
    if soon > HORIZON:
        return _said(found, _("At this pace it is more than a year away."))
    earliest = today + dt.timedelta(days=soon)
    latest = today + dt.timedelta(days=round(late)) if late <= HORIZON else None
    if latest:
        words = _("At this pace it comes between {earliest} and {latest}.").format(
            earliest=long_day(earliest), latest=long_day(latest)
        )
    else:
        words = _("At this pace it comes after {earliest}; until when cannot be told.").format(
            earliest=long_day(earliest)
        )
    found = _said(found, words)
    if recital:
        found = _said(found, _("The recital is on {day}.").format(day=long_day(recital)))
    return replace(found, earliest=earliest, latest=latest)


def _said(found: TempoEvidence, words: str) -> TempoEvidence:
    return replace(found, words=f"{found.words} {words}")


def _too_few(days: int) -> str:
    return ngettext(
        "Tempos on {n} day: too few for a trend, which needs {fewest} over two weeks.",
        "Tempos on {n} days: too few for a trend, which needs {fewest} over two weeks.",
        days,
    ).format(n=days, fewest=FEWEST_DAYS)


def _weeks(count: int) -> str:
    return ngettext("{n} week", "{n} weeks", count).format(n=count)


def _practice_days(count: int) -> str:
    return ngettext("{n} practice day", "{n} practice days", count).format(n=count)


def _steady(running: int, wanted: int) -> str:
    return ngettext(
        "Steady at {running} of the {n} lesson running you ask for.",
        "Steady at {running} of the {n} lessons running you ask for.",
        wanted,
    ).format(running=running, n=wanted)
