"""A first order: as few bent rules as there can be, and then the youngest early.

Of all orders with the fewest bends, the one is taken whose first player is the youngest, then
whose second is, and so on. Same pieces and wishes, same order.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from practice.programme.rules import Played, Siblings, Wishes, youngest_first

MOST_STEPS = 20_000  # a second or two; beyond it the order is a good one, not surely the best


@dataclass(frozen=True)
class Draft:
    """`is_best` tells whether no order bends less; it is False only where the search was cut."""

    order: tuple[Played, ...]
    is_best: bool = True


def draft(pieces: Sequence[Played], wishes: Wishes, most_steps: int = MOST_STEPS) -> Draft:
    search = _Search(youngest_first(pieces), wishes, most_steps)
    try:
        return Draft(search.best())
    except _TooLong:
        return Draft(search.good(), is_best=False)


@dataclass(frozen=True)
class _Kind:
    """Pieces that are alike to the rules; of these the youngest always comes first."""

    slow: bool
    piano: bool
    families: frozenset[int]


@dataclass(frozen=True)
class _At:
    """Where the search stands: what is left of each kind, and what the rules look back at."""

    left: tuple[int, ...]
    last: int = -1
    run: int = 0


class _TooLong(Exception):
    pass


class _Search:
    def __init__(self, ranked: Sequence[Played], wishes: Wishes, most_steps: int) -> None:
        self.wishes, self.steps = wishes, most_steps
        self.size = len(ranked)
        inside = 0 < wishes.interval_after < self.size
        self.interval = wishes.interval_after if inside else 0
        alike: dict[_Kind, list[tuple[int, Played]]] = {}
        shared = _shared(ranked) if wishes.siblings is not Siblings.FREE else frozenset()
        for rank, each in enumerate(ranked):
            kind = _Kind(each.slow, each.with_piano, each.families & shared)
            alike.setdefault(kind, []).append((rank, each))
        self.kinds = list(alike)
        self.queues = list(alike.values())
        self.full = tuple(len(queue) for queue in self.queues)
        self.of_family = {
            family: [n for n, kind in enumerate(self.kinds) if family in kind.families]
            for family in shared
        }
        self.failed: dict[_At, int] = {}

    def best(self) -> tuple[Played, ...]:
        start = _At(self.full)
        budget = self.least(start)
        while True:
            path: list[int] = []
            if self.reach(start, budget, path):
                return self.pieces(path)
            budget += 1

    def good(self) -> tuple[Played, ...]:
        """Step by step what bends least by what can be seen from there."""
        at = _At(self.full)
        path: list[int] = []
        while len(path) < self.size:
            choice = min(
                self.open_kinds(at),
                key=lambda kind: self.cost(at, kind) + self.least(self.after(at, kind)),
            )
            path.append(choice)
            at = self.after(at, choice)
        return self.pieces(path)

    def pieces(self, path: Sequence[int]) -> tuple[Played, ...]:
        queues = [iter(queue) for queue in self.queues]
        return tuple(next(queues[kind])[1] for kind in path)

    def reach(self, at: _At, budget: int, path: list[int]) -> bool:
        """Fills `path` with the kinds to the end where that bends no more than the budget."""
        if not any(at.left):
            return True
        if self.failed.get(at, -1) >= budget:
            return False
        for kind in self.open_kinds(at):
            self.steps -= 1
            if self.steps < 0:
                raise _TooLong
            rest = budget - self.cost(at, kind)
            after = self.after(at, kind)
            if rest < 0 or self.least(after) > rest:
                continue
            path.append(kind)
            if self.reach(after, rest, path):
                return True
            path.pop()
        self.failed[at] = budget
        return False

    def open_kinds(self, at: _At) -> list[int]:
        """Kinds that are left, the one with the youngest next player first."""
        return sorted(
            (kind for kind, left in enumerate(at.left) if left),
            key=lambda kind: self.queues[kind][self.full[kind] - at.left[kind]][0],
        )

    def placed(self, at: _At) -> int:
        return self.size - sum(at.left)

    def after(self, at: _At, kind: int) -> _At:
        left = tuple(each - (n == kind) for n, each in enumerate(at.left))
        most = self.wishes.most_with_piano
        run = 0 if self.placed(at) == self.interval else at.run
        return _At(left, kind, min(run + 1, most) if self.kinds[kind].piano else 0)

    def cost(self, at: _At, number: int) -> int:
        """What this kind bends when it comes next."""
        placed, kind = self.placed(at), self.kinds[number]
        last = self.kinds[at.last] if at.last >= 0 else None
        parted = placed == self.interval  # also at the very beginning
        cost = 0
        if kind.slow:
            cost += (placed == 0) + (placed == self.size - 1)
            cost += bool(last and last.slow and not parted)
        most = self.wishes.most_with_piano
        if most and kind.piano and not parted:
            cost += at.run >= most
        if self.wishes.siblings is Siblings.APART:
            cost += bool(last and not parted and kind.families & last.families)
        elif self.wishes.siblings is Siblings.TOGETHER:
            before = last.families if last else frozenset()
            cost += sum(self.begun(at, family) for family in kind.families - before)
        return cost

    def begun(self, at: _At, family: int) -> bool:
        return any(at.left[n] < self.full[n] for n in self.of_family[family])

    def least(self, at: _At) -> int:
        """At least so much the rest must bend, by counting what can stand between."""
        total = sum(at.left)
        if not total:
            return 0
        breaks = int(bool(self.interval) and self.placed(at) <= self.interval)
        last = self.kinds[at.last] if at.last >= 0 else None
        slow = self.count(at, lambda kind: kind.slow)
        # Every slow piece wants one that is not slow, or the interval, after it.
        found = max(0, slow + bool(last and last.slow) - (total - slow) - breaks)
        most = self.wishes.most_with_piano
        if most:
            piano = self.count(at, lambda kind: kind.piano)
            found += max(0, piano - (most - at.run) - (total - piano + breaks) * most)
        if self.wishes.siblings is Siblings.APART and self.of_family:
            found += max(0, *(self.crowded(at, each, total) - breaks for each in self.of_family))
        elif self.wishes.siblings is Siblings.TOGETHER:
            found += sum(self.left_behind(at, family) for family in self.of_family)
        return found

    def left_behind(self, at: _At, family: int) -> bool:
        """Others were put between, and some of the family are still to come."""
        own = self.of_family[family]
        return at.last not in own and self.begun(at, family) and any(at.left[n] for n in own)

    def crowded(self, at: _At, family: int, total: int) -> int:
        own = sum(at.left[n] for n in self.of_family[family])
        here = at.last in self.of_family[family]
        return own + here - 1 - (total - own)

    def count(self, at: _At, wanted: Callable[[_Kind], bool]) -> int:
        return sum(n for n, kind in zip(at.left, self.kinds, strict=True) if n and wanted(kind))


def _shared(pieces: Sequence[Played]) -> frozenset[int]:
    """Families with more than one piece."""
    seen: set[int] = set()
    twice: set[int] = set()
    for each in pieces:
        twice |= each.families & seen
        seen |= each.families
    return frozenset(twice)
