"""How far the term has come."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from studio.access.models import Studio
from studio.terms.models import Term


@dataclass(frozen=True)
class TermSoFar:
    """Weeks count from the Monday of the term's first day; `week` runs from 1 to `weeks`."""

    term: Term
    week: int
    weeks: int

    @property
    def pegs(self) -> list[str]:
        """For each week the class of its peg: "past", "now" or "to-come"."""
        return [
            "past" if number < self.week else "now" if number == self.week else "to-come"
            for number in range(1, self.weeks + 1)
        ]


def term_so_far(studio: Studio, today: dt.date) -> TermSoFar | None:
    term = Term.objects.of(studio).on(today)
    if term is None:
        return None
    monday = term.starts - dt.timedelta(days=term.starts.weekday())
    return TermSoFar(
        term=term,
        week=(today - monday).days // 7 + 1,
        weeks=(term.ends - monday).days // 7 + 1,
    )
