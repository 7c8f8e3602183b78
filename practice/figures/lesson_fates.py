"""What became of a term's lessons, in the words of a report. The counts are all of the lessons."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from enum import StrEnum


class LessonFate(StrEnum):
    KEPT = "kept"
    MADE_UP = "made up"
    MISSED = "missed"
    CANCELLED = "cancelled"
    OWED = "to be made up"
    UNMARKED = "not marked"
    TO_COME = "to come"


def fates_counted(fates: Iterable[LessonFate]) -> tuple[tuple[LessonFate, int], ...]:
    """Each fate that occurs with its count, in the order of LessonFate."""
    count = Counter(fates)
    return tuple((fate, count[fate]) for fate in LessonFate if count[fate])


def fates_in_words(fates: Iterable[LessonFate]) -> str:
    """ "10 kept, 1 made up, 1 missed"."""
    return ", ".join(f"{count} {fate}" for fate, count in fates_counted(fates))
