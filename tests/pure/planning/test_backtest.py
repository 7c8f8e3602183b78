"""The back-test itself: a short run keeps the builder's promises and repeats exactly."""

from __future__ import annotations

from practice.planning.types import Part
from tests.bench.backtest import run, table, together


def test_a_short_run_covers_every_part_and_repeats_exactly() -> None:
    seen = run(students=10, weeks=12, seed=3)
    whole = together(seen.values())
    assert whole.weeks == 120
    assert whole.planned == whole.in_hand
    assert whole.in_hand[Part.ETUDE] == whole.weeks
    # One day before the lesson of a week and the day after it; the lesson itself lies between.
    assert whole.etude_away <= 2
    assert table(run(students=10, weeks=12, seed=3)) == table(seen)
