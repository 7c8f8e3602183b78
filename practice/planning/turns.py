"""Who has a turn on a day: what is due by its gap, and by need when the minutes are short."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from practice.planning import parts
from practice.planning.types import Part, SpotState

LEFT_OUT_FIRST = 100


@dataclass(frozen=True)
class Candidate:
    """Something that takes turns. `gap` counts practice days, 0 is for pins alone; the lower
    `rank` wins a draw."""

    key: str
    part: Part
    title: str
    gap: int
    weight: int
    rank: int
    piece: int | None = None
    pegs: tuple[int, ...] = ()
    state: SpotState | None = None


@dataclass
class Turns:
    """The week so far: the practice day on which each key and each part last had a turn.

    Days before the week are negative; a part without a past counts as played the day before,
    at the lesson.
    """

    left_out: frozenset[str]
    last: dict[str, int]
    last_part: dict[Part, int] = field(default_factory=dict)

    def take(self, key: str, part: Part, day: int) -> None:
        self.last[key] = day
        self.last_part[part] = day

    def part_waited(self, part: Part, day: int) -> int:
        return day - self.last_part.get(part, -1)

    def played_this_week(self) -> set[Part]:
        return {part for part, day in self.last_part.items() if day >= 0}

    def overdue(self, each: Candidate, day: int) -> int:
        """Practice days beyond its gap; below zero while it is not due."""
        return day - self.last[each.key] - each.gap

    def was_left_out(self, each: Candidate) -> bool:
        """Left out last week and without a turn since."""
        return each.key in self.left_out and self.last[each.key] < 0

    def is_due(self, each: Candidate, day: int) -> bool:
        return each.gap > 0 and (self.overdue(each, day) >= 0 or self.was_left_out(each))

    def in_order_of_need(
        self, due: Iterable[Candidate], day: int, etude_first: bool
    ) -> list[Candidate]:
        """One of each part first, then whatever else is due.

        Among parts: by group; then what was left out last week before the rest; then by practice
        days waited times the part's weight.
        """
        by_need = sorted(due, key=lambda each: self._need(each, day))
        first_of: dict[Part, Candidate] = {}
        for each in by_need:
            first_of.setdefault(each.part, each)
        firsts = sorted(first_of.values(), key=lambda each: self._part_need(each, day, etude_first))
        others = [
            each
            for each in by_need
            if each.part != Part.FAVOURITE and each is not first_of[each.part]
        ]
        return firsts + others

    def _need(self, each: Candidate, day: int) -> tuple[int, int]:
        bonus = LEFT_OUT_FIRST * self.was_left_out(each) * (each.part != Part.FAVOURITE)
        return (-self.overdue(each, day) - bonus, each.rank)

    def _part_need(
        self, each: Candidate, day: int, etude_first: bool
    ) -> tuple[int, bool, int, int]:
        return (
            self._group(each.part, etude_first),
            not self.was_left_out(each),
            -self.part_waited(each.part, day) * parts.WEIGHTS[each.part],
            each.rank,
        )

    def _group(self, part: Part, etude_first: bool) -> int:
        """The etude when it must lead, parts without a turn this week, the others.

        Where it need not lead, the lesson has just had the etude: it takes nobody's only turn,
        save that of explore, which is sure to find one the day after.
        """
        if part == Part.ETUDE and etude_first:
            return 0
        if self.last_part.get(part, -1) >= 0:
            return 4
        return {Part.ETUDE: 2, Part.EXPLORE: 3}.get(part, 1)
