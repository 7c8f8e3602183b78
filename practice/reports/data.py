"""What a report shows, as frozen values that survive JSON unchanged."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _

from practice.figures.key_circle import KeyHeld, Known, in_order
from practice.figures.lesson_fates import LessonFate, fates_in_words
from practice.figures.tempo_lines import TempoLine
from practice.figures.term_weeks import Into, WeekMinutes
from practice.planning import codec

MOST_LINES = 3  # tempo lines that are drawn; the others stand in the table


@dataclass(frozen=True)
class PieceFinished:
    title: str
    date: dt.date


@dataclass(frozen=True)
class NextLesson:
    """`of_next_term` is whether it is the first one after this term."""

    date: dt.date
    starts: dt.time
    of_next_term: bool


@dataclass(frozen=True)
class ReportData:
    """One student's term until `until`, the day up to which everything is counted.

    `edition` is 0 for a draft; `replaces` is the day the edition before was given.
    """

    student: str
    teacher: str
    term: str
    starts: dt.date
    ends: dt.date
    until: dt.date
    lessons: tuple[LessonFate, ...]
    weeks: tuple[WeekMinutes, ...]
    keys: tuple[KeyHeld, ...]
    tempos: tuple[TempoLine, ...]
    finished: tuple[PieceFinished, ...]
    in_hand: tuple[str, ...]
    scale: str
    later: int  # days with something noted after `until`, which count nowhere
    next_lesson: NextLesson | None = None
    paper: str = "A4"
    clock_24h: bool = True
    language: str = "en"
    note_names: str = ""
    words: str = ""
    edition: int = 0
    given: dt.date | None = None
    replaces: dt.date | None = None

    @property
    def planned(self) -> int:
        return sum(week.planned for week in self.weeks)

    @property
    def practised(self) -> int:
        return sum(week.total for week in self.weeks)

    @property
    def parts(self) -> tuple[tuple[Into, int], ...]:
        """Minutes practised by what they went into."""
        sums = [sum(week.played[place] for week in self.weeks) for place in range(len(Into))]
        return tuple(zip(Into, sums, strict=True))

    @property
    def weeks_practised(self) -> int:
        return sum(week.total > 0 for week in self.weeks)

    @property
    def lesson_words(self) -> str:
        return fates_in_words(self.lessons)

    @property
    def learnt(self) -> tuple[KeyHeld, ...]:
        return in_order(self.keys, Known.LEARNT)

    @property
    def now(self) -> tuple[KeyHeld, ...]:
        return in_order(self.keys, Known.NOW)

    @property
    def drawn(self) -> tuple[TempoLine, ...]:
        return self.tempos[:MOST_LINES]

    @property
    def paragraphs(self) -> list[str]:
        return [line.strip() for line in self.words.splitlines() if line.strip()]

    def to_json(self) -> dict[str, Any]:
        return codec.to_json(self)

    @classmethod
    def from_json(cls, data: object) -> ReportData:
        """Raises ValueError that names the field when the data has another shape."""
        return codec.from_json(cls, data)


def hours(minutes: int) -> str:
    """ "24 h 50 min", "2 h", "35 min"."""
    whole, rest = divmod(minutes, 60)
    if whole and rest:
        return _("{hours} h {minutes} min").format(hours=whole, minutes=rest)
    return _("{n} h").format(n=whole) if whole else _("{n} min").format(n=rest)
