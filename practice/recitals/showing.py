"""A recital as its page shows it: rows with times, and each rule with what bends it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from practice.programme.rules import Bend, Character, Rule, Siblings, weight
from practice.programme.timing import Timetable, minutes, said, told
from practice.recitals.models import Performance, Programme
from practice.recitals.order import (
    bent,
    interval_at,
    length,
    names_of,
    performances_of,
    players_of,
    timed,
    who,
    wishes_of,
)
from practice.recitals.readiness import Readiness, readiness_of
from studio.people.models import Student
from studio.terms.models import Recital, Term
from studio.web.days import long_day


@dataclass(frozen=True)
class Row:
    """`left` names who of its players comes to no lessons any more."""

    each: Performance
    number: int
    who: str
    starts: dt.time
    length: str
    ready: Readiness
    left: tuple[str, ...]
    last: bool

    @property
    def character(self) -> str:
        """ "slow", "fast", or nothing."""
        other = self.each.character == Character.OTHER
        return "" if other else self.each.get_character_display()

    @property
    def guessed(self) -> bool:
        return self.each.seconds is None


@dataclass(frozen=True)
class RuleShown:
    words: str
    bends: tuple[str, ...]


@dataclass(frozen=True)
class Interval:
    after: int
    starts: dt.time
    minutes: int
    last: bool


@dataclass(frozen=True)
class Shown:
    """Everything the page of a recital tells."""

    programme: Programme
    rows: tuple[Row, ...]
    interval: Interval | None
    ends: dt.time
    told: str
    guesses: int
    rules: tuple[RuleShown, ...]
    cannot: bool
    undated: tuple[str, ...]
    term: Term | None
    over: bool

    @property
    def recital(self) -> Recital:
        return self.programme.recital

    @property
    def players(self) -> int:
        return len(players_of([row.each for row in self.rows]))


def shown(programme: Programme, today: dt.date) -> Shown:
    """Eight queries, however many pieces there are."""
    rows = performances_of(programme)
    recital, table = programme.recital, timed(programme, rows)
    found = bent(programme, rows)
    return Shown(
        programme=programme,
        rows=_rows(rows, recital, table, today),
        interval=_interval(programme, len(rows), table),
        ends=_at(recital, table.total),
        told=told(table, recital.minutes),
        guesses=sum(each.seconds is None for each in rows),
        rules=_rules(programme, len(rows), found),
        cannot=bool(weight(found)) and not programme.moved_by_hand,
        undated=tuple(each.given_name for each in players_of(rows) if each.birth_date is None),
        term=Term.objects.of(recital.studio).on(recital.date),
        over=recital.date < today,
    )


def _at(recital: Recital, seconds: int) -> dt.time:
    """The wall clock so long after the beginning, in begun minutes."""
    begins = dt.datetime.combine(recital.date, recital.starts)
    return (begins + dt.timedelta(minutes=minutes(seconds))).time()


def _rows(
    rows: Sequence[Performance], recital: Recital, table: Timetable, today: dt.date
) -> tuple[Row, ...]:
    names = names_of(rows)
    ready = readiness_of(rows, recital.date, today)
    return tuple(
        Row(
            each=each,
            number=number,
            who=who(each, names),
            starts=_at(recital, starts),
            length=said(length(each)),
            ready=ready[each.pk],
            left=tuple(
                student.given_name
                for student in (each.student, each.partner)
                if student and student.status == Student.Status.LEFT
            ),
            last=number == len(rows),
        )
        for number, (each, starts) in enumerate(zip(rows, table.starts, strict=True), 1)
    )


def _interval(programme: Programme, count: int, table: Timetable) -> Interval | None:
    if table.interval is None:
        return None
    after = interval_at(programme, count)
    starts = _at(programme.recital, table.interval)
    return Interval(after, starts, programme.interval_minutes, after == count - 1)


def _rules(programme: Programme, count: int, found: Sequence[Bend]) -> tuple[RuleShown, ...]:
    wishes = wishes_of(programme, count)
    words = {
        Rule.SLOW: _("No two slow pieces follow one another."),
        Rule.ENDS: _("It neither opens nor ends with a slow piece."),
    }
    if wishes.siblings is Siblings.APART:
        words[Rule.SIBLINGS] = _("Children of one family do not follow one another.")
    elif wishes.siblings is Siblings.TOGETHER:
        words[Rule.SIBLINGS] = _("Children of one family follow one another.")
    if wishes.most_with_piano:
        most = wishes.most_with_piano
        words[Rule.PIANO] = ngettext(
            "At most {n} piece with piano in a row, so that {name} has pauses.",
            "At most {n} pieces with piano in a row, so that {name} has pauses.",
            most,
        ).format(n=most, name=programme.accompanist)
    words[Rule.YOUNG] = _("The youngest come early, as far as the rules above allow.")
    return tuple(
        RuleShown(text, tuple(each.words for each in found if each.rule is rule))
        for rule, text in words.items()
    )


def day_words(recital: Recital, term: Term | None, today: dt.date) -> list[str]:
    """What a teacher may not have meant about the day, told after it was kept."""
    found, day = [], long_day(recital.date)
    if recital.date < today:
        found.append(
            _("{day} is past, so its pieces stand in the players’ years already.").format(day=day)
        )
    if term is None:
        found.append(_("{day} lies in no term.").format(day=day))
    return found
