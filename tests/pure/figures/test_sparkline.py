"""The small tempo line: which days it has, and where they stand."""

from __future__ import annotations

import datetime as dt

from practice.figures.evidence import TempoPoint
from practice.figures.sparkline import HEIGHT, WIDTH, sparkline

TODAY = dt.date(2026, 11, 25)


def on(back: int, bpm: int) -> TempoPoint:
    return TempoPoint(TODAY - dt.timedelta(days=back), bpm)


def test_it_climbs_from_the_left_to_the_right_below_its_goal() -> None:
    line = sparkline([on(20, 60), on(10, 66), on(0, 72)], 84, TODAY)
    assert line is not None
    across, down = zip(*line.points, strict=True)
    assert list(across) == sorted(across)
    assert list(down) == sorted(down, reverse=True)
    assert across[1] - across[0] == across[2] - across[1]
    assert line.goal_y < down[-1]
    assert (line.first, line.last) == (60, 72)
    assert line.words == "Tempo by day, from 60 to 72; the goal is 84."


def test_everything_lies_inside_its_box_also_above_the_goal() -> None:
    line = sparkline([on(30, 90), on(4, 60), on(3, 120)], 84, TODAY)
    assert line is not None
    assert all(0 <= x <= WIDTH and 0 <= y <= HEIGHT for x, y in line.points)
    assert 0 <= line.goal_y <= HEIGHT
    assert line.figures_x < WIDTH


def test_a_day_counts_once_by_its_median_and_old_days_not_at_all() -> None:
    line = sparkline([on(80, 30), on(9, 50), on(2, 60), on(2, 90), on(2, 61)], 84, TODAY)
    assert line is not None
    assert len(line.points) == 2
    assert line.last == 61


def test_one_day_is_no_line() -> None:
    assert sparkline([on(2, 60), on(2, 62), on(-1, 70)], 84, TODAY) is None
    assert sparkline([], 84, TODAY) is None


def test_the_two_figures_never_cover_each_other() -> None:
    for last in range(60, 100):
        line = sparkline([on(9, 60), on(0, last)], 84, TODAY)
        assert line is not None
        assert line.last_y == line.goal_y or abs(line.last_y - line.goal_y) >= 14
        assert line.last_y <= HEIGHT
