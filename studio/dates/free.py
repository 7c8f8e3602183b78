"""Stretches of booked time, whether two of them clash, and what is free between them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True)
class Booked:
    """A stretch of the teacher's time. Instants are aware; the end is not part of it.

    place: where she must be; None when she can be anywhere (a lesson on a screen).
    shared: equal values mean one lesson several students share, which is no clash.
    """

    starts: dt.datetime
    ends: dt.datetime
    what: str = ""
    place: str | None = None
    shared: object = None

    def __post_init__(self) -> None:
        if self.ends <= self.starts:
            raise ValueError(f"{self.what or 'It'} ends at {self.ends}, not after its start.")

    @property
    def minutes(self) -> int:
        return int((self.ends - self.starts).total_seconds() // 60)


def booked(
    starts: dt.datetime,
    minutes: int,
    what: str = "",
    place: str | None = None,
    shared: object = None,
) -> Booked:
    """A stretch given by its length, which runs in elapsed minutes through a clock change."""
    instant = starts.astimezone(dt.UTC)
    return Booked(instant, instant + dt.timedelta(minutes=minutes), what, place, shared)


def gap_needed(one: Booked, other: Booked, travel: dt.timedelta) -> dt.timedelta:
    """Time the teacher needs between the two: her way from one place to another."""
    if one.place is None or other.place is None or one.place == other.place:
        return dt.timedelta()
    return travel


def clash(one: Booked, other: Booked, travel: dt.timedelta = dt.timedelta()) -> bool:
    """Whether one teacher cannot do both; touching ends are fine in one place."""
    if one.shared is not None and one.shared == other.shared and one.starts == other.starts:
        return False
    gap = gap_needed(one, other, travel)
    return one.starts < other.ends + gap and other.starts < one.ends + gap


def first_clash(
    wanted: Booked, others: Iterable[Booked], travel: dt.timedelta = dt.timedelta()
) -> Booked | None:
    """The earliest of the others that stands in the way."""
    standing = [other for other in others if clash(wanted, other, travel)]
    return min(standing, key=lambda other: other.starts, default=None)


@dataclass(frozen=True)
class Offer:
    """A free start; beside says that it touches another lesson and so leaves no hole."""

    starts: dt.datetime
    beside: bool


def offers(
    window: tuple[dt.datetime, dt.datetime],
    taken: Iterable[Booked],
    minutes: int,
    *,
    place: str | None = None,
    travel: dt.timedelta = dt.timedelta(),
    step: int = 15,
) -> list[Offer]:
    """Free starts in the window, in order: on the step, and right after what is taken."""
    opens, closes = window
    others = sorted(taken, key=lambda other: other.starts)
    length = dt.timedelta(minutes=minutes)
    candidates = set()
    moment = opens
    while moment + length <= closes:
        candidates.add(moment)
        moment += dt.timedelta(minutes=step)
    probe = Booked(opens, opens + length, place=place)
    edges = {other.ends + gap_needed(probe, other, travel) for other in others}
    edges |= {other.starts - length - gap_needed(probe, other, travel) for other in others}
    candidates |= {edge for edge in edges if opens <= edge and edge + length <= closes}
    free = [
        start
        for start in sorted(candidates)
        if first_clash(Booked(start, start + length, place=place), others, travel) is None
    ]
    return [Offer(start, start in edges) for start in free]


APART = dt.timedelta(hours=1)


def best_of(found: list[Offer], most: int) -> list[Offer]:
    """At most so many in time order: those beside other lessons, then others an hour apart."""
    chosen = [offer for offer in found if offer.beside][:most]
    for offer in found:
        if len(chosen) == most:
            break
        if all(abs(offer.starts - other.starts) >= APART for other in chosen):
            chosen.append(offer)
    return sorted(chosen, key=lambda offer: offer.starts)
