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
WEEKS_OPEN = 8  # how long after a day home may still tell of it; the teacher's own paper always may
HIGHEST_ID = 2**63 - 1


class NotTaken(ValueError):
    """A message that cannot be right; `sentence` names what and why. Nothing of it was kept.

    `item` is the item it speaks of, where it is one.
    """

    def __init__(self, sentence: str, item: int | None = None) -> None:
        super().__init__(sentence)
        self.sentence, self.item = sentence, item


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
    for a student who left, an item of somebody else, a day to come or long over, impossible
    minutes or an impossible tempo.
    """
    if student.status == Student.Status.LEFT:
        raise NotTaken(f"{student.given_name} has left, so nothing was taken in.")
    _, new = Receipt.objects.get_or_create(
        key=message.key, defaults={"student": student, "received": now}
    )
    if not new:
        return False
    oldest = today - dt.timedelta(weeks=WEEKS_OPEN)
    if source == LogEntry.Source.PAPER:
        oldest = dt.date.min
    items = _items(message.ticks, student)
    for tick in message.ticks:
        item = items.get(tick.item)
        if item is None:
            raise NotTaken(
                "That is not on this week’s sheet any more. Please open the page again.", tick.item
            )
        _check_day(item.date, oldest, today)
        check_minutes(tick.minutes, item.title, item.pk)
        check_tempo(tick.tempo, item.title, item.pk)
    known = LogEntry.objects.select_for_update().filter(item__in=items)
    entries = {entry.item_id: entry for entry in known}
    for tick in message.ticks:
        _keep(tick, items[tick.item], entries, source, now)
    if message.word.strip():
        day = message.word_day or today
        _check_day(day, oldest, today)
        _keep_word(message, student, source, day)
    return True


def _items(ticks: Sequence[Tick], student: Student) -> dict[int, Item]:
    wanted = Item.objects.filter(
        pk__in={tick.item for tick in ticks if 0 < tick.item <= HIGHEST_ID},
        plan__assignment__student=student,
    )
    return {item.pk: item for item in wanted}


def in_words(day: dt.date) -> str:
    """ "Wednesday 25 November"."""
    return f"{day:%A} {day.day} {day:%B}"


def _check_day(day: dt.date, oldest: dt.date, today: dt.date) -> None:
    if day > today:
        raise NotTaken(f"{in_words(day)} is still to come.")
    if day < oldest:
        raise NotTaken(
            f"{in_words(day)} {day.year} is more than {WEEKS_OPEN} weeks ago: too old to take in."
        )


def check_minutes(minutes: int | None, what: str, item: int) -> None:
    if minutes is not None and not 0 <= minutes <= MOST_MINUTES_AN_ITEM:
        raise NotTaken(f"Minutes of {what} cannot be {minutes}: 0 to {MOST_MINUTES_AN_ITEM}.", item)


def check_tempo(tempo: int | None, what: str, item: int) -> None:
    if tempo is not None and not SLOWEST <= tempo <= FASTEST:
        raise NotTaken(
            f"Tempo of {what} cannot be {tempo}: {SLOWEST} to {FASTEST} beats a minute.", item
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


def _keep_word(message: Message, student: Student, source: LogEntry.Source, day: dt.date) -> None:
    text = message.word.strip()
    if len(text) > LONGEST_WORD:
        raise NotTaken(f"The word from home has {len(text)} letters; {LONGEST_WORD} find room.")
    Word.objects.update_or_create(
        key=message.key,
        defaults={"student": student, "date": day, "text": text, "source": source},
    )
