"""Taking in what home sends."""

from __future__ import annotations

import datetime as dt
import uuid
from itertools import permutations
from typing import Any

import pytest

from practice.logs.record import UNTOLD, Message, NotTaken, Tick, take
from practice.models import Item, LogEntry, Receipt, Word
from studio.models import Student
from tests import factories
from tests.factories import DAY, NOW
from tests.studio.lessons.test_concurrent_writers import all_at_once

HOME = LogEntry.Source.HOME


@pytest.fixture
def item(student: Student) -> Item:
    return factories.ItemFactory.create(
        plan__assignment__student=student, date=DAY, minutes=6, title="Etude"
    )


def send(student: Student, *ticks: Tick, key: uuid.UUID | None = None, word: str = "") -> bool:
    message = Message(key or uuid.uuid4(), ticks, word)
    return take(message, student, HOME, NOW, DAY)


def tick(item: Item, minutes_ago: int = 0, **values: Any) -> Tick:
    at = NOW - dt.timedelta(minutes=minutes_ago)
    return Tick(item.pk, **{"done": True, "at": at, **values})


def test_a_tick_counts_the_planned_minutes(student: Student, item: Item) -> None:
    assert send(student, tick(item))
    assert (item.log.minutes, item.log.done, item.log.source) == (6, True, "home")


def test_home_may_say_other_minutes_and_a_tempo(student: Student, item: Item) -> None:
    send(student, tick(item, minutes=11, tempo=66))
    assert (item.log.minutes, item.log.tempo) == (11, 66)


def test_the_same_message_again_changes_nothing(student: Student, item: Item) -> None:
    key = uuid.uuid4()
    assert send(student, tick(item), key=key, word="Nice.")
    assert not send(student, tick(item, done=False), key=key, word="Nice.")
    item.refresh_from_db()
    assert item.log.done
    assert (Receipt.objects.count(), Word.objects.count()) == (1, 1)


def test_of_two_phones_the_later_tick_stands(student: Student, item: Item) -> None:
    send(student, tick(item, minutes_ago=5, minutes=7))
    send(student, tick(item, minutes_ago=30, done=False))
    item.refresh_from_db()
    assert (item.log.done, item.log.minutes) == (True, 7)


def test_a_phone_ahead_of_time_does_not_win_for_ever(student: Student, item: Item) -> None:
    send(student, tick(item, minutes_ago=-600))
    send(student, tick(item, done=False))
    item.refresh_from_db()
    assert not item.log.done


def test_a_box_never_ticked_leaves_no_entry(student: Student, item: Item) -> None:
    send(student, tick(item, done=False))
    assert not LogEntry.objects.exists()


@pytest.mark.parametrize(
    ("values", "named"),
    [
        ({"minutes": 900}, "900"),
        ({"minutes": -1}, "-1"),
        ({"tempo": 0}, "Tempo of Etude cannot be 0"),
        ({"tempo": 301}, "301"),
    ],
)
def test_what_cannot_be_is_refused_by_name(
    student: Student, item: Item, values: dict[str, int], named: str
) -> None:
    with pytest.raises(NotTaken, match=named):
        send(student, tick(item, **values))
    assert not LogEntry.objects.exists()
    assert not Receipt.objects.exists()


def test_a_day_to_come_is_refused(student: Student, item: Item) -> None:
    Item.objects.filter(pk=item.pk).update(date=DAY + dt.timedelta(days=1))
    with pytest.raises(NotTaken, match="Thursday 26 November is still to come"):
        send(student, tick(item))


def test_somebody_elses_item_is_refused(other_student: Student, item: Item) -> None:
    with pytest.raises(NotTaken, match="not on this week"):
        send(other_student, tick(item))


def test_a_word_too_long_is_told_with_its_length(student: Student) -> None:
    with pytest.raises(NotTaken, match="501 letters"):
        send(student, word="x" * 501)


@pytest.mark.parametrize("order", list(permutations(range(4))))
def test_what_several_phones_tell_of_one_item_merges_whatever_comes_first(
    student: Student, item: Item, order: tuple[int, ...]
) -> None:
    """One ticks; another, whose page shows no tick, tells minutes, then a tempo; an old untick."""
    told = [
        tick(item, minutes_ago=60, done=False),
        tick(item, minutes_ago=30),
        tick(item, minutes_ago=20, done=UNTOLD, minutes=9),
        tick(item, minutes_ago=10, done=UNTOLD, tempo=66),
    ]
    for number in order:
        send(student, told[number])
    item.refresh_from_db()
    assert (item.log.done, item.log.minutes, item.log.tempo) == (True, 9, 66)


def test_minutes_told_before_the_tick_stay_with_it(student: Student, item: Item) -> None:
    send(student, tick(item, minutes_ago=5, done=UNTOLD, minutes=9))
    assert (item.log.done, item.log.minutes) == (False, 9)
    send(student, tick(item))
    item.refresh_from_db()
    assert (item.log.done, item.log.minutes) == (True, 9)


def test_minutes_told_may_be_taken_back_to_those_planned(student: Student, item: Item) -> None:
    send(student, tick(item, minutes_ago=5, minutes=9))
    send(student, tick(item, minutes=None))
    item.refresh_from_db()
    assert item.log.minutes == 6


@pytest.mark.django_db(transaction=True)
def test_phones_that_come_back_in_the_same_moment_lose_nothing(student: Student) -> None:
    """Each has a word, a tick of its own and one that all made, sent twice."""
    own = [
        factories.ItemFactory.create(
            plan__assignment__student=student,
            plan__assignment__starts=DAY - dt.timedelta(days=7 * n),
            date=DAY,
        )
        for n in range(4)
    ]
    messages = [
        Message(uuid.uuid4(), (tick(own[0], minutes_ago=n), tick(own[n])), f"Word {n}")
        for n in range(1, 4)
    ]
    results = all_at_once(
        *(lambda each=each: take(each, student, HOME, NOW, DAY) for each in messages * 2)
    )
    assert (results.count(True), results.count(False)) == (3, 3)
    assert LogEntry.objects.filter(done=True).count() == 4
    assert set(Word.objects.values_list("text", flat=True)) == {"Word 1", "Word 2", "Word 3"}


def test_what_one_phone_told_in_one_moment_stands_in_the_order_it_came(
    student: Student, item: Item
) -> None:
    """The first message was on its way for two seconds longer than the second."""
    send(student, tick(item))
    message = Message(uuid.uuid4(), (Tick(item.pk, False, NOW - dt.timedelta(seconds=2)),))
    take(message, student, HOME, NOW, DAY)
    item.refresh_from_db()
    assert item.log.done is False


def test_what_was_told_while_the_clock_was_ahead_can_be_told_otherwise(
    student: Student, item: Item
) -> None:
    ahead = NOW + dt.timedelta(days=400)
    early = Tick(item.pk, True, ahead, minutes=9, tempo=60)
    take(Message(uuid.uuid4(), (early,)), student, LogEntry.Source.PAPER, ahead, DAY)
    send(student, tick(item, done=False, minutes=4, tempo=66))
    item.refresh_from_db()
    assert (item.log.done, item.log.minutes, item.log.tempo) == (False, 4, 66)
    send(student, tick(item, minutes_ago=30))
    item.refresh_from_db()
    assert not item.log.done


def test_a_clock_set_back_refuses_days_to_come_in_words_and_takes_them_later(
    student: Student, item: Item
) -> None:
    message = Message(uuid.uuid4(), (tick(item),))
    with pytest.raises(NotTaken, match="Wednesday 25 November is still to come"):
        take(message, student, HOME, NOW, DAY - dt.timedelta(days=2))
    assert not Receipt.objects.exists()
    assert take(message, student, HOME, NOW, DAY)
