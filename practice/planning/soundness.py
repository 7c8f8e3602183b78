"""What is wrong with a week's inputs, and the same inputs mended so that a week can be built."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import TypeVar

from practice.music.keys import key_told
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
from practice.planning.words import in_bars, minutes_of, of_day, thousands
from studio.language import gettext as _
from studio.language.days import day_and_month

MOST_DAYS, MOST_SESSIONS, MOST_PIECES = 7, 3, 2
MINUTES_IN_A_DAY = 24 * 60
TEMPOS = (20, 300)
RUN_EVERY = (0, 7)
SETTINGS = {"rest_after": (10, 90), "rest_minutes": (1, 30), "growth_limit_percent": (1, 200)}
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
        said.append(_("The week has no days: nothing is planned."))
        return ()
    kept = _once(
        sorted(days, key=lambda day: day.date),
        lambda day: day.date,
        lambda day: _("{day} stands in the week twice: the first one counts.").format(
            day=day_and_month(day.date)
        ),
        said,
    )
    if len(kept) > MOST_DAYS:
        sentence = _("The week has {n} days: only the first {most} are planned.")
        said.append(sentence.format(n=len(kept), most=MOST_DAYS))
        kept = kept[:MOST_DAYS]
    kept = [_day(day, sessions, said) for day in kept]
    if not any(day.minutes and not day.off for day in kept):
        said.append(_("The week has no practice day: every day is off or has 0 minutes."))
    return tuple(kept)


def _day(day: DayIn, sessions: int, said: list[str]) -> DayIn:
    if not 0 <= day.minutes <= parts.MOST_MINUTES:
        nearest = _within(day.minutes, 0, parts.MOST_MINUTES)
        sentence = _("Minutes on {day} are {n}, not between 0 and {most}: {nearest} are planned.")
        most = parts.MOST_MINUTES
        said.append(of_day(sentence, day.date, n=day.minutes, most=most, nearest=nearest))
        day = replace(day, minutes=nearest)
    if day.sessions is not None:
        held = tuple(sorted({n for n in day.sessions if 1 <= n <= sessions}))
        for number in sorted(set(day.sessions) - set(held)):
            sentence = _("{day} names session {number}; the routine has {n}.")
            said.append(of_day(sentence, day.date, number=number, n=sessions))
        if not held and day.minutes and not day.off:
            sentence = _("{day} has {minutes} but no session: all are used.")
            said.append(of_day(sentence, day.date, minutes=minutes_of(day.minutes)))
        day = replace(day, sessions=held or None)
    return day


def _routine(routine: Routine, said: list[str]) -> Routine:
    sessions = routine.sessions
    if not sessions:
        said.append(_("The routine names no session: one is planned."))
        sessions = (SessionIn(_("Practice")),)
    if len(sessions) > MOST_SESSIONS:
        sentence = _("The routine names {n} sessions a day: the first {most} are used.")
        said.append(sentence.format(n=len(sessions), most=MOST_SESSIONS))
        sessions = sessions[:MOST_SESSIONS]
    known = [session.start for session in sessions if session.start is not None]
    if known != sorted(known):
        sentence = _("The sessions start at {times}, which is not in order: no start is shown.")
        said.append(sentence.format(times=", ".join(f"{start:%H:%M}" for start in known)))
        sessions = tuple(replace(session, start=None) for session in sessions)
    values = {}
    for name, (least, most) in SETTINGS.items():
        value = getattr(routine, name)
        values[name] = _within(value, least, most)
        if value != values[name]:
            figures = {"n": value, "least": least, "most": most, "nearest": values[name]}
            said.append(_out_of_range(name).format(**figures))
    return replace(routine, sessions=sessions, **values)


def _out_of_range(setting: str) -> str:
    return {
        "rest_after": _(
            "Setting “a rest comes after” is {n} minutes, not between {least} and {most}:"
            " {nearest} is used."
        ),
        "rest_minutes": _(
            "Setting “a rest lasts” is {n} minutes, not between {least} and {most}:"
            " {nearest} is used."
        ),
        "growth_limit_percent": _(
            "Setting “the growth limit” is {n} %, not between {least} and {most}:"
            " {nearest} is used."
        ),
    }[setting]


def _pieces(pieces: tuple[PieceIn, ...], said: list[str]) -> tuple[PieceIn, ...]:
    kept: list[PieceIn] = []
    for piece in sorted(pieces, key=lambda piece: piece.place):
        if piece.place not in (1, 2):
            sentence = _("Place of {title} is {place}, not 1 or 2: it is left out.")
            said.append(sentence.format(title=piece.title, place=piece.place))
        elif piece.place in {other.place for other in kept}:
            sentence = _("Place {place} is taken twice: {title} is left out.")
            said.append(sentence.format(title=piece.title, place=piece.place))
        elif any(piece.id == other.id for other in kept):
            sentence = _("{title} is in hand twice: the first one counts.")
            said.append(sentence.format(title=piece.title))
        else:
            kept.append(_piece(piece, said))
    return tuple(kept)


def _piece(piece: PieceIn, said: list[str]) -> PieceIn:
    if piece.run_every is None or RUN_EVERY[0] <= piece.run_every <= RUN_EVERY[1]:
        return piece
    nearest = _within(piece.run_every, *RUN_EVERY)
    least, most = RUN_EVERY
    sentence = _(
        "The run-through of {title} is every {n} days, not between {least} and {most}:"
        " {nearest} is used."
    )
    figures = {"n": piece.run_every, "least": least, "most": most, "nearest": nearest}
    said.append(sentence.format(title=piece.title, **figures))
    return replace(piece, run_every=nearest)


def _spots(spots: tuple[SpotIn, ...], places: set[int], said: list[str]) -> tuple[SpotIn, ...]:
    kept = []
    for spot in _once(
        spots,
        lambda spot: spot.id,
        lambda spot: _("The spot in {bars} is listed twice: the first one counts.").format(
            bars=in_bars(spot.bars)
        ),
        said,
    ):
        if spot.piece not in places:
            sentence = _(
                "The spot in {bars} belongs to piece {piece}, which is not in hand: it is left out."
            )
            said.append(sentence.format(bars=in_bars(spot.bars), piece=spot.piece))
            continue
        name = _("the spot in {bars}").format(bars=in_bars(spot.bars))
        now = _now(name, spot.tempo_now, said)
        goal = _goal(name, spot.tempo_goal, now, said)
        kept.append(replace(spot, tempo_now=now, tempo_goal=goal))
    return tuple(kept)


def _scale(scale: ScaleIn, said: list[str]) -> ScaleIn:
    if scale.tempo_now is None or scale.tempo_goal is None:
        return scale
    name = key_told(scale.title)
    now = _now(name, scale.tempo_now, said)
    goal = _goal(name, scale.tempo_goal, now, said)
    return replace(scale, tempo_now=now, tempo_goal=goal)


def _now(name: str, tempo: int, said: list[str]) -> int:
    sentence = _("Tempo now of {title} is {n}, not between {least} and {most}: {nearest} is used.")
    return _tempo(sentence, name, tempo, said)


def _goal(name: str, goal: int, now: int, said: list[str]) -> int:
    sentence = _(
        "Tempo wanted of {title} is {n}, not between {least} and {most}: {nearest} is used."
    )
    goal = _tempo(sentence, name, goal, said)
    if goal < now:
        below = _(
            "Tempo wanted of {title} is {n}, below the tempo now ({now}): {now} is used for both."
        )
        said.append(below.format(title=name, n=goal, now=now))
    return max(goal, now)


def _tempo(sentence: str, name: str, tempo: int, said: list[str]) -> int:
    least, most = TEMPOS
    nearest = _within(tempo, least, most)
    if nearest != tempo:
        figures = {"n": tempo, "least": least, "most": most, "nearest": nearest}
        said.append(sentence.format(title=name, **figures))
    return nearest


def _favourites(favourites: tuple[FavouriteIn, ...], said: list[str]) -> tuple[FavouriteIn, ...]:
    def twice(each: FavouriteIn) -> str:
        sentence = _("Favourite {title} is listed twice: the first one counts.")
        return sentence.format(title=each.title)

    return tuple(_once(favourites, lambda each: each.id, twice, said))


def _history(history: History, said: list[str]) -> History:
    possible = [entry for entry in history.logged if _is_possible(entry, said)]
    a_day: Counter[dt.date] = Counter()
    for entry in possible:
        a_day[entry.date] += entry.minutes
    impossible = {day for day, minutes in a_day.items() if minutes > MINUTES_IN_A_DAY}
    for day in sorted(impossible):
        sentence = _(
            "The log of {day} says {n} minutes; a day has {most}. That day is left out of the sums."
        )
        figures = {"n": thousands(a_day[day]), "most": thousands(MINUTES_IN_A_DAY)}
        said.append(sentence.format(day=day_and_month(day), **figures))
    kept = tuple(entry for entry in possible if entry.date not in impossible)
    return replace(history, logged=kept)


def _is_possible(entry: Logged, said: list[str]) -> bool:
    if entry.minutes < 0:
        sentence = _("The log of {day} says {n} minutes for {key}: it is left out of the sums.")
        day = day_and_month(entry.date)
        said.append(sentence.format(day=day, n=entry.minutes, key=entry.key))
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
