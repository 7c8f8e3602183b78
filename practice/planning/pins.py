"""The teacher's pins: those that can hold, and a sentence for each that cannot."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import replace

from practice.planning import parts
from practice.planning.types import (
    FixedMinutes,
    ForbiddenPart,
    FreeItem,
    Part,
    PinnedItem,
    Pins,
    WeekInputs,
)
from practice.planning.words import day_and_month, minutes_of, weekday

# The rules that a forbidden part breaks; the teacher's word goes before the rule.
_BROKEN = {
    Part.WARM_UP: "a warm-up every day",
    Part.SCALE: "a scale every day",
    Part.RE_WARM_UP: "a re-warm-up at the start of every later session",
}


def sound_pins(inputs: WeekInputs, said: list[str]) -> Pins:
    """Pins on practice days of this week, for items in hand, within their range."""
    pins = inputs.pins
    practice = {day.date for day in inputs.days if day.minutes and not day.off}
    forbidden = _forbidden(pins.forbidden, practice, said)
    return Pins(
        items=_items(inputs, practice, forbidden, said),
        forbidden=forbidden,
        fixed=_fixed(pins.fixed, {each.part for each in forbidden if not each.date}, said),
        free=_free(pins.free, practice, said),
    )


def known_keys(inputs: WeekInputs) -> dict[str, tuple[Part, str]]:
    """Part and title of everything in hand, by key."""
    known = {"stretch": (Part.STRETCH, "Stretch"), "warm_up": (Part.WARM_UP, "Warm-up")}
    if inputs.scale:
        known[f"scale:{inputs.scale.id}"] = (Part.SCALE, inputs.scale.title)
    if inputs.etude:
        known[f"etude:{inputs.etude.id}"] = (Part.ETUDE, inputs.etude.title)
    if inputs.explore:
        known["explore"] = (Part.EXPLORE, inputs.explore.title)
    known |= {f"spot:{spot.id}": (Part.SPOT, f"The spot in {spot.bars}") for spot in inputs.spots}
    known |= {f"run:{piece.id}": (Part.RUN_THROUGH, piece.title) for piece in inputs.pieces}
    known |= {f"favourite:{each.id}": (Part.FAVOURITE, each.title) for each in inputs.favourites}
    return known


def _items(
    inputs: WeekInputs,
    practice: set[dt.date],
    forbidden: tuple[ForbiddenPart, ...],
    said: list[str],
) -> tuple[PinnedItem, ...]:
    known = known_keys(inputs)
    barred = {(each.part, each.date) for each in forbidden}
    kept = []
    for pin in dict.fromkeys(inputs.pins.items):
        part, title = known.get(pin.key, (None, pin.key))
        if part is None:
            said.append(f"“{pin.key}” is put on a day but is not in hand: it is left out.")
        elif pin.date not in practice:
            said.append(f"{title} is put on {day_and_month(pin.date)}, which is no practice day.")
        elif (part, pin.date) in barred or (part, None) in barred:
            said.append(
                f"{title} is put on {weekday(pin.date)}, where you left out the"
                f" {parts.NAMES[part]}: it stays out."
            )
        else:
            kept.append(pin)
    return tuple(kept)


def _forbidden(
    forbidden: Iterable[ForbiddenPart], practice: set[dt.date], said: list[str]
) -> tuple[ForbiddenPart, ...]:
    kept = []
    for pin in dict.fromkeys(forbidden):
        if pin.date is not None and pin.date not in practice:
            said.append(
                f"You left out the {parts.NAMES[pin.part]} on {day_and_month(pin.date)},"
                " which is no practice day."
            )
            continue
        kept.append(pin)
        if rule := _BROKEN.get(pin.part):
            when = f"on {weekday(pin.date)}" if pin.date else "all week"
            said.append(f"You left out the {parts.NAMES[pin.part]} {when}: {rule} cannot hold.")
    return tuple(kept)


def _fixed(
    fixed: Iterable[FixedMinutes], away: set[Part], said: list[str]
) -> tuple[FixedMinutes, ...]:
    """`away` are the parts left out all week."""
    kept: dict[Part, FixedMinutes] = {}
    for pin in fixed:
        name = parts.NAMES[pin.part]
        most = parts.MOST[Part.RE_WARM_UP] if pin.part == Part.RE_WARM_UP else parts.MOST_MINUTES
        if pin.part in kept:
            said.append(
                f"You fixed both {kept[pin.part].minutes} and {pin.minutes} minutes for the"
                f" {name}: {kept[pin.part].minutes} counts."
            )
            continue
        if not 1 <= pin.minutes <= most:
            nearest = max(1, min(most, pin.minutes))
            said.append(
                f"The fixed length of the {name} is {pin.minutes} minutes, not between 1 and"
                f" {most}: {nearest} is used."
            )
            pin = replace(pin, minutes=nearest)
        if pin.part in away:
            said.append(
                f"You fixed {minutes_of(pin.minutes)} for the {name} and left it out all week:"
                " it stays out."
            )
        elif pin.part != Part.FREE:
            kept[pin.part] = pin
    return tuple(kept.values())


def _free(
    free: Iterable[FreeItem], practice: set[dt.date], said: list[str]
) -> tuple[FreeItem, ...]:
    kept: dict[tuple[int, dt.date | None], FreeItem] = {}
    for item in free:
        if not item.text.strip():
            said.append(f"Free item {item.id} has no text: it is left out.")
        elif not 1 <= item.minutes <= parts.MOST_MINUTES:
            said.append(
                f"“{item.text}” is to have {item.minutes} minutes, not between 1 and"
                f" {parts.MOST_MINUTES}: it is left out."
            )
        elif item.date is not None and item.date not in practice:
            said.append(
                f"“{item.text}” is written for {day_and_month(item.date)},"
                " which is no practice day."
            )
        elif (item.id, item.date) in kept:
            said.append(f"Free item {item.id} is written twice: the first one counts.")
        else:
            kept[item.id, item.date] = item
    return tuple(kept.values())
