"""What became of a term's lessons, in the words of a report. The counts are all of the lessons."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from enum import StrEnum

from studio.language import gettext as _


class LessonFate(StrEnum):
    """The values stand in reports that were given."""

    KEPT = "kept"
    MADE_UP = "made up"  # no words: a key
    MISSED = "missed"
    CANCELLED = "cancelled"
    OWED = "to be made up"  # no words: a key
    UNMARKED = "not marked"  # no words: a key
    TO_COME = "to come"  # no words: a key

    def counted(self, count: int) -> str:
        """ "10 kept"."""
        return {
            LessonFate.KEPT: _("{n} kept"),
            LessonFate.MADE_UP: _("{n} made up"),
            LessonFate.MISSED: _("{n} missed"),
            LessonFate.CANCELLED: _("{n} cancelled"),
            LessonFate.OWED: _("{n} to be made up"),
            LessonFate.UNMARKED: _("{n} not marked"),
            LessonFate.TO_COME: _("{n} to come"),
        }[self].format(n=count)


def fates_counted(fates: Iterable[LessonFate]) -> tuple[tuple[LessonFate, int], ...]:
    """Each fate that occurs with its count, in the order of LessonFate."""
    count = Counter(fates)
    return tuple((fate, count[fate]) for fate in LessonFate if count[fate])


def fates_in_words(fates: Iterable[LessonFate]) -> str:
    """ "10 kept, 1 made up, 1 missed"."""
    return ", ".join(fate.counted(count) for fate, count in fates_counted(fates))
