"""When each piece begins, how long it all takes, and that in words. All lengths in seconds."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from studio.language import ngettext

SHORTEST, LONGEST = 10, 3600
_LENGTH = re.compile(r"(?:(\d{1,2})(?::|\.|’|')(\d{2})”?\"?|(\d{1,2}) ?(?:min|m)?)")
# Guesses by the kind of work, until the teacher has taken the time. Common practice, no source.
# no words: the kinds are keys
GUESSES = {"folk song": 60, "method": 60, "etude": 90, "sonata": 240, "concerto movement": 360}
USUAL_GUESS = 150


@dataclass(frozen=True)
class Timetable:
    """`starts` of each piece and of the interval, after the beginning; `total` to the last note."""

    starts: tuple[int, ...]
    interval: int | None
    total: int


def timetable(
    lengths: Sequence[int], change_over: int, interval_after: int = 0, interval: int = 0
) -> Timetable:
    """A change-over lies between two pieces; where the interval lies it holds it already."""
    now, starts, interval_at = 0, [], None
    for number, length in enumerate(lengths):
        if number and number == interval_after:
            interval_at = now
            now += interval
        elif number:
            now += change_over
        starts.append(now)
        now += length
    return Timetable(tuple(starts), interval_at, now)


def guess(kind: str) -> int:
    return GUESSES.get(kind, USUAL_GUESS)


def minutes(seconds: int) -> int:
    """Begun minutes count."""
    return -(-seconds // 60)


def said(seconds: int) -> str:
    """ "2:30"."""
    return f"{seconds // 60}:{seconds % 60:02}"


def read(text: str) -> int | None:
    """Seconds of "2:30", "2.30", "2’30”", "2" or "2 min"; None for anything else."""
    match = _LENGTH.fullmatch(text.strip())
    if match is None:
        return None
    whole, rest, alone = match.groups()
    if alone is not None:
        return int(alone) * 60
    return int(whole) * 60 + int(rest) if int(rest) < 60 else None


def told(table: Timetable, wished: int) -> str:
    """ "54 minutes in all, 6 fewer than the 60 you wish for."; `wished` in minutes."""
    total = minutes(table.total)
    if total == wished:
        words = ngettext(
            "{n} minute in all, just what you wish for.",
            "{n} minutes in all, just what you wish for.",
            total,
        )
    elif total > wished:
        words = ngettext(
            "{n} minute in all, {much} more than the {wished} you wish for.",
            "{n} minutes in all, {much} more than the {wished} you wish for.",
            total,
        )
    else:
        words = ngettext(
            "{n} minute in all, {much} fewer than the {wished} you wish for.",
            "{n} minutes in all, {much} fewer than the {wished} you wish for.",
            total,
        )
    return words.format(n=total, much=abs(total - wished), wished=wished)
