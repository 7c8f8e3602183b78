"""Several windows, or the teacher and her tablet, change the calendar in the same moment."""

import datetime as dt
import threading
from collections.abc import Callable
from zoneinfo import ZoneInfo

import pytest
from django.db import connection

from studio.dates.free import clash
from studio.lessons import changes, schedule
from studio.lessons.booking import Refused
from studio.lessons.changes import When
from studio.models import Lesson, LessonRules, Slot, Studio
from tests.factories import DAY, LessonFactory, SlotFactory, StudioFactory, TermFactory

pytestmark = pytest.mark.django_db(transaction=True)
NOON = dt.datetime.combine(DAY, dt.time(12), tzinfo=dt.UTC)
FRIDAY = dt.date(2026, 11, 27)


def all_at_once(*works: Callable[[], object]) -> list[object]:
    """Run each in a thread with a connection of its own; a Refused is a result like any other."""
    results: list[object] = [None] * len(works)
    start = threading.Barrier(len(works))

    def run(number: int, work: Callable[[], object]) -> None:
        start.wait()
        try:
            results[number] = work()
        except Exception as error:  # told to the test, which says what it expects
            results[number] = error
        finally:
            connection.close()

    threads = [
        threading.Thread(target=run, args=(number, work)) for number, work in enumerate(works)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(timeout=60)
    return results


@pytest.fixture
def studio() -> Studio:
    return StudioFactory.create()


def lessons_of(studio: Studio, count: int) -> list[Lesson]:
    return [
        LessonFactory.create(
            student__family__studio=studio, date=FRIDAY, starts=dt.time(8 + n), minutes=45
        )
        for n in range(count)
    ]


def double_bookings(studio: Studio) -> int:
    zone, travel = ZoneInfo(studio.zone), LessonRules.of(studio).travel
    held = [one.booked(zone) for one in Lesson.objects.of(studio).standing()]
    return sum(clash(one, other, travel) for n, one in enumerate(held) for other in held[n + 1 :])


def test_of_many_moves_to_one_time_one_wins(studio: Studio) -> None:
    rows = lessons_of(studio, 6)
    results = all_at_once(
        *(
            lambda row=row, n=n: changes.move(row, When(FRIDAY, dt.time(18, 5 * n)))
            for n, row in enumerate(rows)
        )
    )
    assert sum(isinstance(result, list) for result in results) == 1
    assert sum(isinstance(result, Refused) for result in results) == 5
    assert double_bookings(studio) == 0


def test_a_make_up_pressed_many_times_is_placed_once(studio: Studio) -> None:
    (row,) = lessons_of(studio, 1)
    (lost,) = changes.cancel(row, "teacher", NOON)
    results = all_at_once(
        *(lambda n=n: changes.make_up(lost, When(FRIDAY, dt.time(12 + n)), DAY) for n in range(5))
    )
    assert sum(isinstance(result, Lesson) for result in results) == 1
    assert Lesson.objects.filter(makes_up=lost).count() == 1


def test_a_cancellation_and_a_keeping_do_not_both_happen(studio: Studio) -> None:
    (row,) = lessons_of(studio, 1)
    results = all_at_once(
        lambda: changes.cancel(row, "family", NOON), lambda: changes.keep(row, FRIDAY)
    )
    assert sum(isinstance(result, Refused) for result in results) == 1
    row.refresh_from_db()
    assert (row.status == Lesson.Status.KEPT) == isinstance(results[0], Refused)


def test_a_term_filled_from_two_windows_is_filled_once(studio: Studio) -> None:
    term = TermFactory.create(studio=studio)
    student = LessonFactory.create(student__family__studio=studio, date=DAY).student
    SlotFactory.create(studio=studio, students=[student], weekday=4)
    results = all_at_once(*[lambda: schedule.fill(studio, [term], DAY)] * 4)
    made = [result.made for result in results if isinstance(result, schedule.Filled)]
    assert sorted(made) == [0, 0, 0, 3]


def test_moves_swaps_and_slot_changes_at_once_leave_nobody_double_booked(studio: Studio) -> None:
    term = TermFactory.create(studio=studio)
    rows = lessons_of(studio, 6)
    slots = [
        SlotFactory.create(studio=studio, students=[row.student], weekday=n % 3, starts=dt.time(15))
        for n, row in enumerate(rows[:3])
    ]
    schedule.fill(studio, [term], DAY)

    def change(slot: Slot, hour: int) -> object:
        time = schedule.SlotTime(1, dt.time(hour, 10), 60)
        return schedule.change_slot(slot, time, dt.date(2026, 11, 30), DAY)

    results = all_at_once(
        lambda: changes.swap(rows[0], rows[1]),
        lambda: changes.swap(rows[1], rows[2]),
        lambda: changes.move(rows[3], When(dt.date(2026, 12, 1), dt.time(15, 0))),
        lambda: changes.move(rows[4], When(dt.date(2026, 12, 1), dt.time(15, 30))),
        lambda: change(slots[0], 15),
        lambda: change(slots[2], 15),
    )
    assert all(
        not isinstance(result, Exception) or isinstance(result, Refused) for result in results
    )
    assert any(isinstance(result, Refused) for result in results)
    assert double_bookings(studio) == 0
