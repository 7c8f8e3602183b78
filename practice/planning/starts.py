"""When sessions begin: as the routine says, one after the other, and never two at once."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, replace

from practice.planning.types import DayPlan, Session, WeekPlan
from practice.planning.words import minutes_of, of_day
from studio.language import gettext as _

DAY_END = 24 * 60


@dataclass(frozen=True)
class SharedTime:
    """The part of the day in which children who share a violin play; None leaves it open.

    A session without a time of its own is placed from `start` on.
    """

    start: dt.time | None = None
    end: dt.time | None = None


def in_time(sessions: Sequence[Session], day: dt.date, said: list[str]) -> tuple[Session, ...]:
    """Sessions of one student; one that would begin before the last is over is moved back."""
    placed: list[Session] = []
    free_from = 0
    for session in sessions:
        if session.start is None:
            placed.append(session)
            continue
        usual = _minute(session.start)
        at = max(usual, free_from)
        free_from = at + session.clock_minutes
        if free_from > DAY_END:
            sentence = _("“{about}” on {day} would run past midnight: no start.")
            said.append(of_day(sentence, day, session.name))
            placed.append(replace(session, start=None))
            free_from = at
            continue
        if at > usual:
            sentence = _(
                "“{about}” on {day} starts at {start}, not {usual}:"
                " the session before it is longer than that."
            )
            times = {"start": f"{_time(at):%H:%M}", "usual": f"{session.start:%H:%M}"}
            said.append(of_day(sentence, day, session.name, **times))
        placed.append(replace(session, start=_time(at)))
    return tuple(placed)


def apart(
    plans: Sequence[tuple[str, WeekPlan]], shared: SharedTime = SharedTime()
) -> tuple[WeekPlan, ...]:
    """The same weeks with starts at which no two sessions overlap, rests included.

    `plans` are (first name, week). Who asks for the same time takes turns at being first, day by
    day. A session that leaves the shared time, or has no time at all, is named in `unmet`.
    """
    said: list[list[str]] = [[] for _ in plans]
    days: list[dict[dt.date, DayPlan]] = [{day.date: day for day in plan.days} for _, plan in plans]
    for date in sorted({date for own in days for date in own}):
        _place(date, [name for name, _ in plans], days, shared, said)
    return tuple(
        replace(plan, days=tuple(own.values()), unmet=plan.unmet + tuple(words))
        for (_, plan), own, words in zip(plans, days, said, strict=True)
    )


def _place(
    date: dt.date,
    names: Sequence[str],
    days: list[dict[dt.date, DayPlan]],
    shared: SharedTime,
    said: list[list[str]],
) -> None:
    """Places one day's sessions of all children, earliest wish first."""
    wishes: list[tuple[int, int, int, int]] = []
    for who, own in enumerate(days):
        turn = (who + date.toordinal()) % len(days)
        earliest = 0
        for index, session in enumerate(own[date].sessions if date in own else ()):
            wish = session.start or shared.start
            if wish is None:
                said[who].append(_no_time(names[who], session, date))
                continue
            earliest = max(earliest, _minute(wish))
            wishes.append((earliest, turn, who, index))
    free_from = 0
    for wished, _turn, who, index in sorted(wishes):
        day = days[who][date]
        session = day.sessions[index]
        at = max(wished, free_from)
        end = at + session.clock_minutes
        if end > DAY_END:
            said[who].append(_no_time(names[who], session, date))
            moved = replace(session, start=None)
        else:
            free_from = end
            moved = replace(session, start=_time(at))
            if shared.end is not None and wished < _minute(shared.end) < end:
                over = end - _minute(shared.end)
                sentence = _(
                    "The time shared on {day} ends at {end}: {about} needs {minutes} more."
                )
                ends = {"end": f"{shared.end:%H:%M}", "minutes": minutes_of(over)}
                said[who].append(of_day(sentence, date, names[who], **ends))
        sessions = (*day.sessions[:index], moved, *day.sessions[index + 1 :])
        days[who][date] = replace(day, sessions=sessions)


def _no_time(name: str, session: Session, date: dt.date) -> str:
    sentence = _("There is no time of its own for {name}'s “{about}” on {day}.")
    return of_day(sentence, date, session.name, name=name)


def _minute(time: dt.time) -> int:
    return time.hour * 60 + time.minute


def _time(minute: int) -> dt.time:
    return dt.time(minute // 60, minute % 60)
