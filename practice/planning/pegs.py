"""Tempo steps from now to wanted along the marks of the classical metronome."""

from __future__ import annotations

from practice.music import metronome

MOST_PEGS = 6


def pegs(now: int, goal: int) -> tuple[int, ...]:
    """Two to six tempos from `now` to `goal`, both included; just `goal` once it is reached.

    A mark closer to either end than half its own step is left out. With more marks than pegs,
    steps span as many marks as needed, wider ones last.
    """
    if now >= goal:
        return (goal,)
    between = [mark for mark in metronome.between(now, goal) if mark < goal]
    if between and not _clear_above(between[0], now):
        del between[0]
    if between and not _clear_below(between[-1], goal):
        del between[-1]
    steps = len(between) + 1
    narrow, wide = divmod(steps, min(steps, MOST_PEGS - 1))
    widths = [narrow] * (min(steps, MOST_PEGS - 1) - wide) + [narrow + 1] * wide
    stops, at = [], 0
    for width in widths[:-1]:
        at += width
        stops.append(between[at - 1])
    return (now, *stops, goal)


def _clear_above(mark: int, now: int) -> bool:
    """A mark far enough above the tempo now to be a step of its own."""
    return 2 * (mark - now) >= mark - metronome.step_down(mark)


def _clear_below(mark: int, goal: int) -> bool:
    """A mark far enough below the tempo wanted to be a step of its own."""
    return 2 * (goal - mark) >= metronome.step_up(mark) - mark
