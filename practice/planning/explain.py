"""Why an item is here today, why another one waits, and what a day could not hold."""

from __future__ import annotations

import datetime as dt

from practice.planning import parts
from practice.planning.turns import Candidate
from practice.planning.types import DayIn, FreeItem, Part, SpotState
from practice.planning.words import Told, minutes_of, of_day, told
from studio.language import gettext as _
from studio.language.days import weekday


def every_day(part: Part) -> str:
    return {
        Part.STRETCH: _("Every day, before the violin is out of its case."),
        Part.WARM_UP: _("Every day, before the scale."),
        Part.SCALE: _("Every day, until the hands run by themselves in this key."),
    }[part]


def pinned() -> str:
    return _("You put it on this day.")


def written_for_this_day() -> str:
    return _("You wrote it for this day.")


def re_warm_up() -> str:
    return _("Every later session opens with one.")


def at_the_lesson() -> str:
    return _("Today's lesson holds it.")


def forbidden() -> str:
    return _("You left it out on this day.")


def only_day() -> str:
    return _("The only practice day of the week, so it comes first.")


def left_out() -> str:
    return _("Left out last week, so it comes first.")


def here(each: Candidate, was_left_out: bool, overdue: int, etude_is_urgent: str) -> str:
    """Why this candidate has its turn."""
    if was_left_out and each.part != Part.FAVOURITE:
        return left_out()
    if each.part == Part.ETUDE:
        return etude_is_urgent or _("Every day that has room for it.")
    if each.part == Part.FAVOURITE:
        return _("The favourite unplayed the longest ends the day.")
    if each.part == Part.EXPLORE:
        return _("No goal, no tempo, no tick owed.")
    return _by_gap(each, _("{why}. It has waited.") if overdue > 0 else _("{why}."))


def no_etude_on(date: dt.date) -> str:
    return _("No etude on {day}, so it comes first.").format(day=weekday(date))


def no_room_for_etude_on(date: dt.date) -> str:
    said = _("No room for it on {day}, so it comes first today.")
    return said.format(day=weekday(date))


def not_due(each: Candidate) -> Told:
    return _by_gap(each, _("{why}; not today."))


def no_room(each: Candidate, had_turn_on: dt.date | None) -> str:
    if each.part == Part.ETUDE and not had_turn_on:
        return _("Others go first today; the etude leads next time.")
    if not had_turn_on:
        return _("No room today; it waits for its turn.")
    said = {
        Part.ETUDE: _("Etude had its turn on {day}."),
        Part.SPOT: _("Spot had its turn on {day}."),
        Part.RUN_THROUGH: _("Run-through had its turn on {day}."),
        Part.FAVOURITE: _("Favourite had its turn on {day}."),
    }[each.part]
    return said.format(day=weekday(had_turn_on))


def _by_gap(each: Candidate, pattern: str) -> Told:
    """What is here by its gap and what waits for it are alike: the gap wants telling once."""
    return told(pattern.format(why=_gap(each)), ("gap", each.key))


def _gap(each: Candidate) -> str:
    """ "Spot in bar 7: firming up, so every second day"."""
    if each.state:
        said = {
            SpotState.TROUBLED: _("Spot in {bars}: troubled, so every day"),
            SpotState.FIRMING: _("Spot in {bars}: firming up, so every second day"),
            SpotState.FIRM: _("Spot in {bars}: firm, so every fourth day"),
        }[each.state]
        return said.format(bars=each.title)
    said = {
        1: _("Run-through every day"),
        2: _("Run-through every second day"),
        3: _("Run-through every third day"),
        4: _("Run-through every fourth day"),
    }.get(each.gap, _("Run-through every {n} days"))
    return said.format(n=each.gap)


def no_minute_for(part: Part, day: DayIn) -> str:
    said = {
        Part.WARM_UP: _("{day} has {minutes}, too few for warm-up and scale: no warm-up that day."),
        Part.SCALE: _("{day} has {minutes}, too few for warm-up and scale: no scale that day."),
    }[part]
    return of_day(said, day.date, minutes=minutes_of(day.minutes))


def nothing_to_play(day: DayIn) -> str:
    said = _("{day} has {minutes} and nothing to play.")
    return of_day(said, day.date, minutes=minutes_of(day.minutes))


def pin_does_not_fit(each: Candidate, day: DayIn) -> str:
    spot = _("The spot in {bars}").format(bars=each.title)
    title = spot if each.part == Part.SPOT else each.title
    said = _("{about} is put on {day}, but {minutes} leave no room for it.")
    return of_day(said, day.date, title, minutes=minutes_of(day.minutes))


def fixed_does_not_fit(part: Part, fixed: int, given: int, date: dt.date) -> str:
    said = _("You fixed {minutes} for {about}; {day} has room for {given}.")
    return of_day(said, date, parts.the(part), minutes=minutes_of(fixed), given=given)


def free_too_long(free: FreeItem, day: DayIn, minutes: int) -> str:
    if minutes:
        said = _("“{about}” is to have {wanted} on {day}, which has {minutes}: it gets {given}.")
    else:
        said = _(
            "“{about}” is to have {wanted} on {day}, which has {minutes}: there is no room for it."
        )
    return of_day(
        said,
        day.date,
        free.text,
        wanted=minutes_of(free.minutes),
        minutes=minutes_of(day.minutes),
        given=minutes_of(minutes),
    )


def rest_goes_to(title: str, date: dt.date) -> str:
    said = _("{day} has more minutes than its parts may take: {about} gets the rest.")
    return of_day(said, date, title)


def coming_back(budget: int, minutes: int) -> str:
    """The note of a day made shorter after a week off; nothing on any other day."""
    if minutes == budget:
        return ""
    said = _("Coming back after a week off: {minutes} instead of {budget}.")
    return said.format(minutes=minutes, budget=minutes_of(budget))
