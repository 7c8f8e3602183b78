"""From a wall clock to an instant, and the nights on which that goes wrong."""

from __future__ import annotations

import datetime as dt

from studio.language import gettext as _
from studio.language.days import long_day, weekday


class NoSuchTimeError(ValueError):
    """The wall clock jumps over this time; the message gives the reason in a sentence."""

    def __init__(self, day: dt.date, time: dt.time, jump: tuple[dt.datetime, dt.datetime]) -> None:
        self.day, self.time = day, time
        self.jump_from, self.jump_to = jump
        sentence = _(
            "On {weekday} {day} the clocks go forward from {before} to {after}, "
            "so {time} does not exist."
        )
        super().__init__(
            sentence.format(
                weekday=weekday(day),
                day=long_day(day),
                before=f"{self.jump_from:%H:%M}",
                after=f"{self.jump_to:%H:%M}",
                time=f"{time:%H:%M}",
            )
        )


def to_utc(day: dt.date, time: dt.time, zone: dt.tzinfo) -> dt.datetime:
    """The instant of a wall time, in UTC; raises NoSuchTimeError in the gap of a clock change.

    A time that comes twice means the first one (RFC 5545 section 3.3.5).
    """
    local = dt.datetime.combine(day, time.replace(fold=0), tzinfo=zone)
    instant = local.astimezone(dt.UTC)
    if instant.astimezone(zone).replace(tzinfo=None, fold=0) != local.replace(tzinfo=None):
        raise NoSuchTimeError(day, time, _jump(local))
    return instant


def comes_twice(day: dt.date, time: dt.time, zone: dt.tzinfo) -> bool:
    """Whether the clocks go back over this wall time."""
    first = dt.datetime.combine(day, time.replace(fold=0), tzinfo=zone)
    later = first.replace(fold=1)
    return later.astimezone(dt.UTC) > first.astimezone(dt.UTC)


def to_wall(instant: dt.datetime, zone: dt.tzinfo) -> tuple[dt.date, dt.time]:
    """Day and wall time of an aware instant."""
    local = instant.astimezone(zone)
    return local.date(), local.time().replace(fold=0)


def _jump(local: dt.datetime) -> tuple[dt.datetime, dt.datetime]:
    """Last wall time before the gap and first one after it, both naive."""
    zone = local.tzinfo
    before = local.replace(fold=1).astimezone(dt.UTC)
    after = local.replace(fold=0).astimezone(dt.UTC)
    offset = before.astimezone(zone).utcoffset()
    while after - before > dt.timedelta(seconds=1):
        middle = before + (after - before) / 2
        if middle.astimezone(zone).utcoffset() == offset:
            before = middle
        else:
            after = middle
    jump_to = (after.astimezone(zone) + dt.timedelta(microseconds=500_000)).replace(microsecond=0)
    width = (jump_to.utcoffset() or dt.timedelta()) - (offset or dt.timedelta())
    return (jump_to - width).replace(tzinfo=None), jump_to.replace(tzinfo=None)
