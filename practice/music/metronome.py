"""The 39 marks of the classical metronome: 40 to 208 beats a minute.

Steps of 2 from 40, 3 from 60, 4 from 72, 6 from 120, 8 from 144 (two makers' lists agree).
"""

from bisect import bisect_left, bisect_right

MARKS: tuple[int, ...] = (
    *range(40, 60, 2),
    *range(60, 72, 3),
    *range(72, 120, 4),
    *range(120, 144, 6),
    *range(144, 209, 8),
)


def step_up(bpm: int, steps: int = 1) -> int:
    """The mark `steps` above; a tempo between two marks goes to the next one first."""
    return MARKS[min(len(MARKS) - 1, bisect_right(MARKS, bpm) + steps - 1)]


def step_down(bpm: int, steps: int = 1) -> int:
    """The mark `steps` below; stays at 40."""
    return MARKS[max(0, bisect_left(MARKS, bpm) - steps)]


def nearest(bpm: int) -> int:
    """The closest mark; half-way goes to the slower one."""
    return min(MARKS, key=lambda mark: (abs(mark - bpm), mark))


def between(now: int, goal: int) -> tuple[int, ...]:
    """Marks above `now` and up to `goal`, both ends excluded unless a mark equals `goal`."""
    return MARKS[bisect_right(MARKS, now) : bisect_right(MARKS, goal)]
