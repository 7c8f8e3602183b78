"""What a home sends: the page's own form, or the script's JSON. Both become one Message."""

from __future__ import annotations

import datetime as dt
import json
import uuid
from collections.abc import Mapping
from typing import Any

from django.http import QueryDict

from practice.home.day import HomeDay
from practice.logs.record import Message, NotTaken, Tick

MOST_TICKS = 60


def from_page(data: QueryDict, day: HomeDay, now: dt.datetime) -> Message:
    """The plain form: a box for each row, a tempo for each spot, minutes, a word."""
    ticks = []
    for row in day.rows:
        if not row.owes_a_tick:
            continue
        done = row.ids in data.getlist("done")
        minutes = _shared(_whole(data.get(f"minutes-{row.ids}", ""), f"Minutes of {row.name}"), row)
        for item, own in zip(row.items, minutes, strict=True):
            tempo = _whole(data.get(f"tempo-{item.pk}", ""), f"Tempo of {item.title}")
            ticks.append(Tick(item.pk, done, now, own, tempo))
    return Message(_key(data.get("key", "")), tuple(ticks), data.get("word", ""), day.date)


def from_script(body: bytes, now: dt.datetime) -> Message:
    """`{"key", "day", "word", "ticks": [{"item", "done", "ago", "minutes", "tempo"}]}`.

    `ago` is how many seconds before the sending it was ticked: a phone's own clock may be wrong.
    """
    try:
        data = json.loads(body)
        ticks = tuple(_tick(each, now) for each in data.get("ticks", [])[:MOST_TICKS])
        day = dt.date.fromisoformat(data["day"]) if data.get("day") else None
        return Message(_key(data["key"]), ticks, str(data.get("word", "")), day)
    except (ValueError, KeyError, TypeError, AttributeError, OverflowError) as error:
        if isinstance(error, NotTaken):
            raise
        raise NotTaken("This message could not be read.") from error


def _tick(data: Mapping[str, Any], now: dt.datetime) -> Tick:
    ago = min(max(float(data.get("ago", 0)), 0), 60 * 60 * 24 * 60)
    return Tick(
        item=int(data["item"]),
        done=data["done"] is True,
        at=now - dt.timedelta(seconds=ago),
        minutes=None if data.get("minutes") is None else int(data["minutes"]),
        tempo=None if data.get("tempo") is None else int(data["tempo"]),
    )


def _key(text: str) -> uuid.UUID:
    try:
        return uuid.UUID(text)
    except ValueError as error:
        raise NotTaken("This page is too old to send. Please open it again.") from error


def _whole(text: str, field: str) -> int | None:
    if not text.strip():
        return None
    try:
        return int(text)
    except ValueError as error:
        raise NotTaken(f"{field} must be a whole number, not “{text[:20]}”.") from error


def _shared(minutes: int | None, row: Any) -> list[int | None]:
    """Minutes told for a row, over its items: as they were planned, the rest to the first."""
    if minutes is None or minutes == row.minutes:
        return [None] * len(row.items)
    shares: list[int | None] = [minutes * item.minutes // row.minutes for item in row.items]
    shares[0] = minutes - sum(share or 0 for share in shares[1:])
    return shares
