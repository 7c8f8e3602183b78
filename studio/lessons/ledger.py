"""What became of each lesson of a term. Plain values in, plain values out; the sum always holds.

Every lesson a term owes has exactly one fate. A lesson that fell out is followed through its
make-up, and through the make-up of that one if it fell out too.
"""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import Enum

from studio.language import gettext, gettext_noop

KEPT = "kept"
PLANNED = "planned"


class Fate(Enum):
    GIVEN = gettext_noop("given")
    MADE_UP = gettext_noop("made up")
    TO_COME = gettext_noop("to come")
    UNMARKED = gettext_noop("not marked yet")
    OWED = gettext_noop("make-up owed")
    FORFEITED = gettext_noop("forfeited")

    @property
    def words(self) -> str:
        """The value in the language spoken now."""
        return gettext(self.value)


@dataclass(frozen=True)
class Entry:
    """A lesson as the ledger needs it; `makes_up` is the id of the lesson it stands for."""

    id: int
    day: dt.date
    status: str
    makes_up: int | None = None
    owed: bool = False
    owed_until: dt.date | None = None


@dataclass(frozen=True)
class Line:
    """One lesson owed, the lessons that stood in for it in order, and what became of it."""

    entry: Entry
    stands_in: tuple[Entry, ...]
    fate: Fate

    @property
    def placed(self) -> bool:
        """A make-up is owed and has its day already."""
        return self.fate is Fate.OWED and self.last.status == PLANNED

    @property
    def last(self) -> Entry:
        return self.stands_in[-1] if self.stands_in else self.entry


@dataclass(frozen=True)
class Ledger:
    """Counts of one student's term: owed == the sum of all the others."""

    owed: int
    given: int
    made_up: int
    to_come: int
    unmarked: int
    make_ups: int
    forfeited: int
    lines: tuple[Line, ...] = ()

    @property
    def sums(self) -> bool:
        parts = (self.given, self.made_up, self.to_come, self.unmarked, self.make_ups)
        return self.owed == sum(parts) + self.forfeited

    @property
    def placed(self) -> int:
        return sum(line.placed for line in self.lines)


def settle(entries: Iterable[Entry], today: dt.date) -> Ledger:
    """The ledger of a term. `entries` are its lessons and every lesson that makes up for one."""
    known = {entry.id: entry for entry in entries}
    next_of = {entry.makes_up: entry for entry in known.values() if entry.makes_up is not None}
    roots = sorted(
        (entry for entry in known.values() if entry.makes_up is None),
        key=lambda entry: (entry.day, entry.id),
    )
    lines = tuple(_line(root, next_of, today) for root in roots)
    count = Counter(line.fate for line in lines)
    return Ledger(
        owed=len(lines),
        given=count[Fate.GIVEN],
        made_up=count[Fate.MADE_UP],
        to_come=count[Fate.TO_COME],
        unmarked=count[Fate.UNMARKED],
        make_ups=count[Fate.OWED],
        forfeited=count[Fate.FORFEITED],
        lines=lines,
    )


def _line(root: Entry, next_of: Mapping[int, Entry], today: dt.date) -> Line:
    chain = [root]
    while (follower := next_of.get(chain[-1].id)) is not None and follower not in chain:
        chain.append(follower)
    return Line(root, tuple(chain[1:]), _fate(chain, today))


def _fate(chain: list[Entry], today: dt.date) -> Fate:
    last = chain[-1]
    if len(chain) == 1:
        if last.status == KEPT:
            return Fate.GIVEN
        if last.status == PLANNED:
            return Fate.TO_COME if last.day >= today else Fate.UNMARKED
    elif last.status == KEPT:
        return Fate.MADE_UP
    elif last.status == PLANNED:
        return Fate.OWED
    if last.owed and (last.owed_until is None or today <= last.owed_until):
        return Fate.OWED
    return Fate.FORFEITED
