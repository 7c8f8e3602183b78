"""What a home sends: the page's own form, or the script's JSON. Both become one Message."""

from __future__ import annotations

import datetime as dt
import json
import uuid
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from django.http import QueryDict
from django.utils.translation import gettext as _

from practice.home.day import HomeDay, Row
from practice.logs.record import UNTOLD, Message, NotTaken, Tick, check_minutes

MOST_TICKS = 60
# What reading a forged or broken JSON message may raise.
UNREADABLE = (
    ValueError, KeyError, TypeError, AttributeError, OverflowError, RecursionError, OSError
)  # fmt: skip


def from_page(data: QueryDict, day: HomeDay, now: dt.datetime) -> Message:
    """The plain form: a box for each row, a tempo for each spot, minutes, a word."""
    ticks = []
    wrong_minutes = _("Minutes of {what} must be a whole number, not “{value}”.")
    wrong_tempo = _("Tempo of {what} must be a whole number, not “{value}”.")
    for row in day.rows:
        if not row.owes_a_tick:
            continue
        done = row.ids in data.getlist("done")
        first = row.items[0].pk
        told = _whole(data.get(f"minutes-{row.ids}", ""), wrong_minutes, row.name, first)
        check_minutes(told, row.name, first)
        for item, own in zip(row.items, _shared(told, row), strict=True):
            tempo = _whole(data.get(f"tempo-{item.pk}", ""), wrong_tempo, item.title, item.pk)
            minutes = UNTOLD if told == row.other_minutes else own
            ticks.append(Tick(item.pk, done, now, minutes, tempo))
    return Message(_key(data.get("key", "")), tuple(ticks), data.get("word", ""), day.date)


def as_typed(day: HomeDay, data: QueryDict, wrong: int | None) -> HomeDay:
    """The day as it was filled in and could not be taken; `wrong` is the item that was named."""
    return day.with_rows(lambda row: _typed(row, data, wrong))


def _typed(row: Row, data: QueryDict, wrong: int | None) -> Row:
    bars = (replace(each, tempo=_peg(data, each.item)) for each in row.bars)
    return replace(
        row,
        done=row.ids in data.getlist("done"),
        typed=data.get(f"minutes-{row.ids}", ""),
        bars=tuple(bars),
        wrong=any(item.pk == wrong for item in row.items),
    )


def _peg(data: QueryDict, item: int) -> int | None:
    text = data.get(f"tempo-{item}", "")
    return int(text) if text.isdecimal() and len(text) < 4 else None


def from_script(body: bytes, now: dt.datetime) -> Message:
    """`{"key", "day", "word", "ticks": [{"item", "done", "ago", "minutes", "tempo"}]}`.

    `ago` is how many seconds before the sending it was ticked: a phone's own clock may be wrong.
    """
    try:
        data = json.loads(body)
        ticks = ticks_from(data.get("ticks", []), lambda each: _tick(each, now))
        day = dt.date.fromisoformat(data["day"]) if data.get("day") else None
        return Message(_key(data["key"]), ticks, str(data.get("word", "")), day)
    except NotTaken:
        raise
    except UNREADABLE as error:
        raise NotTaken(_("This message could not be read.")) from error


def ticks_from(
    told: Sequence[Mapping[str, Any]], read: Callable[[Mapping[str, Any]], Tick]
) -> tuple[Tick, ...]:
    """All of them; a message with too many is refused, not cut. Raises NotTaken."""
    if len(told) > MOST_TICKS:
        sentence = _("A message of {n} ticks is too long; {most} find room.")
        raise NotTaken(sentence.format(n=len(told), most=MOST_TICKS))
    return tuple(read(each) for each in told)


def _tick(data: Mapping[str, Any], now: dt.datetime) -> Tick:
    ago = min(max(float(data.get("ago", 0)), 0), 60 * 60 * 24 * 60)
    return tick_from(data, now - dt.timedelta(seconds=ago))


def tick_from(data: Mapping[str, Any], at: dt.datetime) -> Tick:
    """`{"item", "done", "minutes", "tempo"}` as the scripts write it: what was not changed on that
    phone is left out, `minutes` null is as planned. Raises NotTaken."""
    item = int(data["item"])
    wrong_minutes = _("Minutes must be a whole number, not “{value}”.")
    wrong_tempo = _("Tempo must be a whole number, not “{value}”.")
    return Tick(
        item=item,
        done=data["done"] is True if "done" in data else UNTOLD,
        at=at,
        minutes=_number(data["minutes"], wrong_minutes, item) if "minutes" in data else UNTOLD,
        tempo=_number(data.get("tempo"), wrong_tempo, item),
    )


def _key(text: str) -> uuid.UUID:
    try:
        return uuid.UUID(text)
    except ValueError as error:
        raise NotTaken(_("This page is too old to send. Please open it again.")) from error


def _number(told: object, wrong: str, item: int) -> int | None:
    if told is None or (isinstance(told, int) and not isinstance(told, bool)):
        return told
    raise NotTaken(wrong.format(value=f"{told!s:.20}"), item)


def _whole(text: str, wrong: str, what: str, item: int) -> int | None:
    if not text.strip():
        return None
    try:
        return int(text)
    except ValueError as error:
        raise NotTaken(wrong.format(what=what, value=text[:20]), item) from error


def _shared(minutes: int | None, row: Row) -> list[int | None]:
    """Minutes told for a row, over its items: as they were planned, the rest to the first."""
    if minutes is None or minutes == row.minutes:
        return [None] * len(row.items)
    shares: list[int | None] = [minutes * item.minutes // row.minutes for item in row.items]
    shares[0] = minutes - sum(share or 0 for share in shares[1:])
    return shares
