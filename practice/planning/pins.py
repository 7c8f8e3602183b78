"""The teacher's pins: those that can hold, and a sentence for each that cannot."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import replace

from practice.music.keys import key_told
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
from practice.planning.words import minutes_of, of_day, spot_in
from studio.language import gettext as _
from studio.language.days import day_and_month


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
    known = {"stretch": (Part.STRETCH, _("Stretch")), "warm_up": (Part.WARM_UP, _("Warm-up"))}
    if inputs.scale:
        known[f"scale:{inputs.scale.id}"] = (Part.SCALE, key_told(inputs.scale.title))
    if inputs.etude:
        known[f"etude:{inputs.etude.id}"] = (Part.ETUDE, inputs.etude.title)
    if inputs.explore:
        known["explore"] = (Part.EXPLORE, inputs.explore.title)
    known |= {f"spot:{spot.id}": (Part.SPOT, spot_in(spot.bars)) for spot in inputs.spots}
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
            sentence = _("“{title}” is put on a day but is not in hand: it is left out.")
            said.append(sentence.format(title=title))
        elif pin.date not in practice:
            sentence = _("{title} is put on {day}, which is no practice day.")
            said.append(sentence.format(title=title, day=day_and_month(pin.date)))
        elif (part, pin.date) in barred or (part, None) in barred:
            sentence = _("{about} is put on {day}, where you left out {part}: it stays out.")
            said.append(of_day(sentence, pin.date, title, part=parts.the(part)))
        else:
            kept.append(pin)
    return tuple(kept)


def _forbidden(
    forbidden: Iterable[ForbiddenPart], practice: set[dt.date], said: list[str]
) -> tuple[ForbiddenPart, ...]:
    kept = []
    for pin in dict.fromkeys(forbidden):
        if pin.date is not None and pin.date not in practice:
            sentence = _("You left out {part} on {day}, which is no practice day.")
            said.append(sentence.format(part=parts.the(pin.part), day=day_and_month(pin.date)))
            continue
        kept.append(pin)
        if broken := _broken(pin):
            said.append(broken)
    return tuple(kept)


def _broken(pin: ForbiddenPart) -> str:
    """The rule that a forbidden part breaks, if any; the teacher's word goes before it."""
    if pin.date:
        sentence = {
            Part.WARM_UP: _("You left out the warm-up on {day}: a warm-up every day cannot hold."),
            Part.SCALE: _("You left out the scale on {day}: a scale every day cannot hold."),
            Part.RE_WARM_UP: _(
                "You left out the re-warm-up on {day}:"
                " a re-warm-up at the start of every later session cannot hold."
            ),
        }.get(pin.part, "")
        return of_day(sentence, pin.date) if sentence else ""
    return {
        Part.WARM_UP: _("You left out the warm-up all week: a warm-up every day cannot hold."),
        Part.SCALE: _("You left out the scale all week: a scale every day cannot hold."),
        Part.RE_WARM_UP: _(
            "You left out the re-warm-up all week:"
            " a re-warm-up at the start of every later session cannot hold."
        ),
    }.get(pin.part, "")


def _fixed(
    fixed: Iterable[FixedMinutes], away: set[Part], said: list[str]
) -> tuple[FixedMinutes, ...]:
    """`away` are the parts left out all week."""
    kept: dict[Part, FixedMinutes] = {}
    for pin in fixed:
        name = parts.the(pin.part)
        most = parts.MOST[Part.RE_WARM_UP] if pin.part == Part.RE_WARM_UP else parts.MOST_MINUTES
        if pin.part in kept:
            first = kept[pin.part].minutes
            sentence = _("You fixed both {first} and {second} minutes for {part}: {first} counts.")
            said.append(sentence.format(first=first, second=pin.minutes, part=name))
            continue
        if not 1 <= pin.minutes <= most:
            nearest = max(1, min(most, pin.minutes))
            sentence = _(
                "The fixed length of {part} is {n} minutes, not between 1 and {most}:"
                " {nearest} is used."
            )
            said.append(sentence.format(part=name, n=pin.minutes, most=most, nearest=nearest))
            pin = replace(pin, minutes=nearest)
        if pin.part in away:
            sentence = _("You fixed {minutes} for {part} and left it out all week: it stays out.")
            said.append(sentence.format(minutes=minutes_of(pin.minutes), part=name))
        elif pin.part != Part.FREE:
            kept[pin.part] = pin
    return tuple(kept.values())


def _free(
    free: Iterable[FreeItem], practice: set[dt.date], said: list[str]
) -> tuple[FreeItem, ...]:
    kept: dict[tuple[int, dt.date | None], FreeItem] = {}
    for item in free:
        if not item.text.strip():
            said.append(_("Free item {n} has no text: it is left out.").format(n=item.id))
        elif not 1 <= item.minutes <= parts.MOST_MINUTES:
            sentence = _(
                "“{title}” is to have {n} minutes, not between 1 and {most}: it is left out."
            )
            said.append(sentence.format(title=item.text, n=item.minutes, most=parts.MOST_MINUTES))
        elif item.date is not None and item.date not in practice:
            sentence = _("“{title}” is written for {day}, which is no practice day.")
            said.append(sentence.format(title=item.text, day=day_and_month(item.date)))
        elif (item.id, item.date) in kept:
            sentence = _("Free item {n} is written twice: the first one counts.")
            said.append(sentence.format(n=item.id))
        else:
            kept[item.id, item.date] = item
    return tuple(kept.values())
