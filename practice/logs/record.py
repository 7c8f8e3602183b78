"""Taking in what home sends: ticks, minutes, tempos, words. Each message counts exactly once."""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Sequence
from dataclasses import dataclass

from django.db import transaction

from practice.logs.models import MOST_MINUTES_AN_ITEM, LogEntry, Receipt, Word
from practice.plans.models import Item
from practice.repertoire.models import FASTEST, SLOWEST
from studio.people.models import Student

LONGEST_WORD = 500


class NotTaken(ValueError):
    """A message that cannot be right; `sentence` names what and why. Nothing of it was kept."""

    def __init__(self, sentence: str) -> None:
        super().__init__(sentence)
        self.sentence = sentence


@dataclass(frozen=True)
class Tick:
    """What home says of one item. `minutes` None: as planned. `at` is when it was ticked there."""

    item: int
    done: bool
    at: dt.datetime
    minutes: int | None = None
    tempo: int | None = None


@dataclass(frozen=True)
class Message:
    """One sending. The same `key` again is the same message, whatever became of the answer."""

    key: uuid.UUID
    ticks: tuple[Tick, ...] = ()
    word: str = ""
    word_day: dt.date | None = None


@transaction.atomic
def take(
    message: Message,
    student: Student,
    source: LogEntry.Source,
    now: dt.datetime,
    today: dt.date,
) -> bool:
    """Keep the message; False when it had been taken before.

    Of two ticks on one item the later one stands, so two phones of a family merge. Raises NotTaken
    for an item of somebody else, a day to come, impossible minutes or an impossible tempo.
    """
    _, new = Receipt.objects.get_or_create(
        key=message.key, defaults={"student": student, "received": now}
    )
    if not new:
        return False
    items = _items(message.ticks, student)
    for tick in message.ticks:
        _check(tick, items.get(tick.item), today)
    known = LogEntry.objects.select_for_update().filter(item__in=items)
    entries = {entry.item_id: entry for entry in known}
    for tick in message.ticks:
        _keep(tick, items[tick.item], entries, source, now)
    _keep_word(message, student, source, today)
    return True


def _items(ticks: Sequence[Tick], student: Student) -> dict[int, Item]:
    wanted = Item.objects.filter(
        pk__in={tick.item for tick in ticks}, plan__assignment__student=student
    )
    return {item.pk: item for item in wanted}


def _check(tick: Tick, item: Item | None, today: dt.date) -> None:
    if item is None:
        raise NotTaken("That is not on this week’s sheet any more. Please open the page again.")
    if item.date > today:
        raise NotTaken(f"{item.date:%A} {item.date.day} {item.date:%B} is still to come.")
    if tick.minutes is not None and not 0 <= tick.minutes <= MOST_MINUTES_AN_ITEM:
        raise NotTaken(
            f"Minutes of {item.title} cannot be {tick.minutes}: 0 to {MOST_MINUTES_AN_ITEM}."
        )
    if tick.tempo is not None and not SLOWEST <= tick.tempo <= FASTEST:
        raise NotTaken(
            f"Tempo of {item.title} cannot be {tick.tempo}: {SLOWEST} to {FASTEST} beats a minute."
        )


def _keep(
    tick: Tick,
    item: Item,
    entries: dict[int, LogEntry],
    source: LogEntry.Source,
    now: dt.datetime,
) -> None:
    entry = entries.get(item.pk)
    at = min(tick.at, now)  # a phone whose clock runs ahead must not win for ever
    if entry is None:
        if not tick.done and tick.tempo is None:
            return  # never ticked and not ticked now: nothing was said
        entry = entries[item.pk] = LogEntry(item=item)
    elif at < entry.ticked:
        return
    entry.done = tick.done
    entry.minutes = item.minutes if tick.minutes is None else tick.minutes
    entry.tempo = tick.tempo if tick.tempo is not None else entry.tempo
    entry.source, entry.ticked = source, at
    entry.save()


def _keep_word(message: Message, student: Student, source: LogEntry.Source, today: dt.date) -> None:
    text = message.word.strip()
    if not text:
        return
    if len(text) > LONGEST_WORD:
        raise NotTaken(f"The word from home has {len(text)} letters; {LONGEST_WORD} find room.")
    day = min(message.word_day or today, today)
    Word.objects.update_or_create(
        key=message.key,
        defaults={"student": student, "date": day, "text": text, "source": source},
    )
