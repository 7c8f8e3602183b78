"""A receipt goes when its message would be refused; sent again, nothing is doubled or changed."""

from __future__ import annotations

import datetime as dt
import uuid
from typing import TYPE_CHECKING

import pytest

from practice.logs.forgetting import KEPT
from practice.logs.record import WEEKS_OPEN, Message, NotTaken, Tick, take
from practice.models import Item, LogEntry, Receipt, Word
from studio.running.sweeping import sweep
from tests import factories
from tests.conftest import NOON, FrozenClock
from tests.factories import DAY

if TYPE_CHECKING:
    from studio.models import Student

HOME, FILE, PAPER = LogEntry.Source.HOME, LogEntry.Source.FILE, LogEntry.Source.PAPER


@pytest.fixture
def item(student: Student) -> Item:
    return factories.ItemFactory.create(
        plan__assignment__student=student, date=DAY, minutes=6, title="Etude"
    )


def receipts(student: Student, *days_later: int) -> None:
    """Of other messages, one on each of the days after NOON."""
    for days in days_later:
        moment = NOON + dt.timedelta(days=days)
        Receipt.objects.create(key=uuid.uuid4(), student=student, received=moment)


def sent(student: Student, message: Message, days: int, source: LogEntry.Source = HOME) -> bool:
    later = dt.timedelta(days=days)
    return take(message, student, source, NOON + later, DAY + later)


def test_a_receipt_is_swept_after_four_hundred_days(student: Student, frozen: FrozenClock) -> None:
    receipts(student, 0, *range(395, 402))
    frozen.move(days=401, hours=1)
    sweep()
    assert Receipt.objects.count() == 8
    receipts(student, *range(402, 409))
    frozen.move(days=8)
    sweep()
    assert Receipt.objects.count() == 14


@pytest.mark.parametrize("source", [HOME, FILE])
def test_a_message_sent_again_after_its_receipt_is_gone_is_refused(
    student: Student, item: Item, frozen: FrozenClock, source: LogEntry.Source
) -> None:
    """And what was told later stands."""
    told = Message(uuid.uuid4(), (Tick(item.pk, True, NOON, 9),), "Sang it first.", DAY)
    assert sent(student, told, 0, source)
    corrected = Tick(item.pk, False, NOON + dt.timedelta(days=1), 2)
    assert sent(student, Message(uuid.uuid4(), (corrected,)), 1, source)
    receipts(student, *range(500, 508))
    frozen.move(days=508)
    sweep()
    assert not Receipt.objects.filter(pk=told.key).exists()
    for each in (told, Message(told.key, told.ticks), Message(told.key, (), told.word, DAY)):
        with pytest.raises(NotTaken, match="too old to take in"):
            sent(student, each, 508, source)
    entry = LogEntry.objects.get(item=item)
    assert (entry.done, entry.minutes) == (False, 2)
    assert [(word.text, word.date) for word in Word.objects.all()] == [("Sang it first.", DAY)]


@pytest.mark.parametrize("source", [HOME, FILE, PAPER])
def test_a_word_without_a_day_sent_again_stays_the_word_it_was(
    student: Student, source: LogEntry.Source
) -> None:
    """No page of ours leaves out the day."""
    told = Message(uuid.uuid4(), (), "Sang it first.")
    sent(student, told, 0, source)
    Receipt.objects.all().delete()
    sent(student, Message(told.key, (), "Sang it last."), 508, source)
    assert [(word.text, word.date) for word in Word.objects.all()] == [("Sang it first.", DAY)]


def test_it_is_kept_for_longer_than_home_may_tell_of_a_day() -> None:
    """With a day for the time zones between a phone's day and the moment it came."""
    assert dt.timedelta(weeks=WEEKS_OPEN, days=2) < KEPT


def test_a_clock_far_ahead_forgets_no_receipt(student: Student, frozen: FrozenClock) -> None:
    receipts(student, *range(20))
    frozen.move(days=3000)
    receipts(student, 3000)
    sweep()
    assert Receipt.objects.count() == 21
