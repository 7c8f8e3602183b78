"""Taking in what home sends: ticks, minutes, tempos, words. Each message counts exactly once.

Several phones of a family merge: a message tells only what was changed on its phone, and of each
item the tick, the minutes and the tempo each stand as they were told last there, whatever order
the messages arrive in. Words are kept one and all.
"""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from django.db import IntegrityError, transaction
from django.utils.translation import gettext as _

from practice.logs.models import MOST_MINUTES_AN_ITEM, LogEntry, Receipt, Word
from practice.plans.models import Item
from practice.repertoire.models import FASTEST, SLOWEST
from studio.people.models import Student
from studio.web.days import in_words, named_day

LONGEST_WORD = 500
WEEKS_OPEN = 8  # how long after a day home may still tell of it; the teacher's own paper always may
# A message travels for a moment, one longer than the next; what one phone told within it stands
# in the order it came.
A_MOMENT = dt.timedelta(seconds=5)
HIGHEST_ID = 2**63 - 1


class NotTaken(ValueError):
    """A message that cannot be right; `sentence` names what and why. Nothing of it was kept.

    `item` is the item it speaks of, where it is one.
    """

    def __init__(self, sentence: str, item: int | None = None) -> None:
        super().__init__(sentence)
        self.sentence, self.item = sentence, item


class TooEarly(NotTaken):
    """It speaks of a day to come; no page offers one, so the clock here may have been set back."""


class Untold(Enum):
    UNTOLD = "untold"


UNTOLD = Untold.UNTOLD


@dataclass(frozen=True)
class Tick:
    """What home says of one item, and when it was said there. `minutes` None: as planned."""

    item: int
    done: bool | Untold
    at: dt.datetime
    minutes: int | None | Untold = UNTOLD
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

    Raises NotTaken for a student who left, an item of somebody else, a day to come or long over,
    impossible minutes or an impossible tempo.
    """
    if student.status == Student.Status.LEFT:
        sentence = _("{name} has left, so nothing was taken in.")
        raise NotTaken(sentence.format(name=student.given_name))
    try:
        with transaction.atomic():
            Receipt.objects.create(key=message.key, student=student, received=now)
    except IntegrityError:
        return False
    oldest = today - dt.timedelta(weeks=WEEKS_OPEN)
    if source == LogEntry.Source.PAPER:
        oldest = dt.date.min
    items = _items(message.ticks, student)
    for tick in message.ticks:
        _check(tick, items.get(tick.item), oldest, today)
    for tick in message.ticks:
        _keep(tick, items[tick.item], source, now)
    if message.word.strip():
        day = message.word_day or today
        _check_day(day, oldest, today)
        _keep_word(message, student, source, day)
    return True


def _items(ticks: Sequence[Tick], student: Student) -> dict[int, Item]:
    """Locked, then with their entries: the first entry of an item is made once, by one phone.

    The entries are asked for after the lock: PostgreSQL joins what stood before it waited.
    """
    wanted = Item.objects.filter(
        pk__in={tick.item for tick in ticks if 0 < tick.item <= HIGHEST_ID},
        plan__assignment__student=student,
    )
    locked = wanted.select_for_update(of=("self",)).order_by("pk").prefetch_related("log")
    return {item.pk: item for item in locked} if ticks else {}


def _check(tick: Tick, item: Item | None, oldest: dt.date, today: dt.date) -> None:
    if item is None:
        raise NotTaken(
            _("That is not on this week’s sheet any more. Please open the page again."), tick.item
        )
    _check_day(item.date, oldest, today)
    if tick.minutes is not UNTOLD:
        check_minutes(tick.minutes, item.title, item.pk)
    check_tempo(tick.tempo, item.title, item.pk)


def _check_day(day: dt.date, oldest: dt.date, today: dt.date) -> None:
    if day > today:
        raise TooEarly(_("{day} is still to come.").format(day=named_day(day)))
    if day < oldest:
        sentence = _("{day} is more than {n} weeks ago: too old to take in.")
        raise NotTaken(sentence.format(day=in_words(day, "l j F Y"), n=WEEKS_OPEN))


def check_minutes(minutes: int | None, what: str, item: int) -> None:
    if minutes is not None and not 0 <= minutes <= MOST_MINUTES_AN_ITEM:
        sentence = _("Minutes of {what} cannot be {value}: 0 to {most}.")
        said = sentence.format(what=what, value=minutes, most=MOST_MINUTES_AN_ITEM)
        raise NotTaken(said, item)


def check_tempo(tempo: int | None, what: str, item: int) -> None:
    if tempo is not None and not SLOWEST <= tempo <= FASTEST:
        sentence = _("Tempo of {what} cannot be {value}: {least} to {most} beats a minute.")
        said = sentence.format(what=what, value=tempo, least=SLOWEST, most=FASTEST)
        raise NotTaken(said, item)


def _keep(tick: Tick, item: Item, source: LogEntry.Source, now: dt.datetime) -> None:
    at = min(tick.at, now)  # a phone whose clock runs ahead must not win for ever
    entry = getattr(item, "log", None)
    if entry is None:
        if tick.done is not True and tick.minutes is UNTOLD and tick.tempo is None:
            return  # never ticked and not ticked now: nothing was said
        entry = LogEntry(item=item, done=False, minutes=item.minutes)
        item.log = entry
    _leave_times_to_come(entry, now)
    if not isinstance(tick.done, Untold) and _later(at, entry.done_told):
        entry.done, entry.done_told = tick.done, max(at, entry.done_told or at)
    if not isinstance(tick.minutes, Untold) and _later(at, entry.minutes_told):
        entry.minutes = item.minutes if tick.minutes is None else tick.minutes
        entry.minutes_told = max(at, entry.minutes_told or at)
    if tick.tempo is not None and _later(at, entry.tempo_told):
        entry.tempo, entry.tempo_told = tick.tempo, max(at, entry.tempo_told or at)
    entry.source = source
    entry.save()


def _leave_times_to_come(entry: LogEntry, now: dt.datetime) -> None:
    """What was told while the clock here was ahead must not win until that time comes."""
    for name in ("done_told", "minutes_told", "tempo_told"):
        told = getattr(entry, name)
        if told and told > now + A_MOMENT:
            setattr(entry, name, None)


def _later(at: dt.datetime, before: dt.datetime | None) -> bool:
    return before is None or at >= before - A_MOMENT


def _keep_word(message: Message, student: Student, source: LogEntry.Source, day: dt.date) -> None:
    text = message.word.strip()
    if len(text) > LONGEST_WORD:
        sentence = _("The word from home has {n} letters; {most} find room.")
        raise NotTaken(sentence.format(n=len(text), most=LONGEST_WORD))
    Word.objects.get_or_create(
        key=message.key,
        defaults={"student": student, "date": day, "text": text, "source": source},
    )
