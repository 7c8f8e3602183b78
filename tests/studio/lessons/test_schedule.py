import datetime as dt

import pytest

from studio.lessons import schedule
from studio.lessons.booking import Refused
from studio.lessons.changes import When, cancel, move
from studio.lessons.schedule import SlotTime
from studio.models import Lesson, Slot, Student, Studio, Term
from tests.factories import (
    DAY,
    ClosureFactory,
    LessonFactory,
    SlotFactory,
    StudentFactory,
    TermFactory,
)

NOON = dt.datetime.combine(DAY, dt.time(12), tzinfo=dt.UTC)
START = dt.date(2026, 9, 14)


@pytest.fixture
def term(studio: Studio) -> Term:
    return TermFactory.create(studio=studio)


@pytest.fixture
def slot(studio: Studio, student: Student, term: Term) -> Slot:
    """Imani on Wednesdays at 16:15, filled from the first day of the term."""
    slot = SlotFactory.create(studio=studio, students=[student])
    schedule.fill(studio, [term], START)
    return slot


def days(slot: Slot) -> list[dt.date]:
    return list(slot.lessons.order_by("date").values_list("date", flat=True))


def test_a_term_is_filled_with_one_lesson_a_week_but_in_closures(
    studio: Studio, slot: Slot, term: Term
) -> None:
    assert len(days(slot)) == 13
    assert {day.weekday() for day in days(slot)} == {2}
    Lesson.objects.all().delete()
    ClosureFactory.create(studio=studio)  # 26 to 30 October
    assert schedule.fill(studio, [term], START).made == 12
    assert dt.date(2026, 10, 28) not in days(slot)


def test_filling_again_makes_nothing_whatever_became_of_the_lessons(
    studio: Studio, slot: Slot, term: Term
) -> None:
    first, second, third = slot.lessons.order_by("date")[:3]
    cancel(first, "family", NOON)
    move(second, When(dt.date(2026, 9, 24), dt.time(10, 0)))
    before = set(Lesson.objects.values_list("pk", "date", "starts", "status"))
    assert schedule.fill(studio, [term], START).made == 0
    assert set(Lesson.objects.values_list("pk", "date", "starts", "status")) == before
    assert third.pk in {row[0] for row in before}


def test_the_past_is_never_filled(studio: Studio, student: Student, term: Term) -> None:
    slot = SlotFactory.create(studio=studio, students=[student])
    schedule.fill(studio, [term], DAY)
    assert days(slot) == [DAY, dt.date(2026, 12, 2), dt.date(2026, 12, 9)]


def test_siblings_on_one_slot_share_the_lesson(
    studio: Studio, student: Student, term: Term
) -> None:
    brother = StudentFactory.create(family=student.family, given_name="Kofi")
    SlotFactory.create(studio=studio, students=[student, brother])
    filled = schedule.fill(studio, [term], DAY)
    assert (filled.made, filled.left_out) == (6, [])


def test_what_clashes_is_left_out_and_told(studio: Studio, student: Student, term: Term) -> None:
    LessonFactory.create(
        student__family__studio=studio, student__given_name="Aroha", date=DAY, starts=dt.time(16, 0)
    )
    SlotFactory.create(studio=studio, students=[student])
    filled = schedule.fill(studio, [term], DAY)
    assert filled.made == 2
    assert filled.left_out == [
        "Imani cannot have Wednesday 25 November at 16:15: Aroha’s lesson is from 16:00 to 16:30."
    ]


def test_a_slot_in_the_gap_of_a_clock_change_is_left_out_with_the_reason(
    studio: Studio, student: Student
) -> None:
    term = TermFactory.create(studio=studio, starts=dt.date(2027, 3, 1), ends=dt.date(2027, 4, 9))
    SlotFactory.create(studio=studio, students=[student], weekday=6, starts=dt.time(1, 30))
    filled = schedule.fill(studio, [term], DAY)
    assert filled.made == 4
    assert "clocks go forward from 01:00 to 02:00" in filled.left_out[0]


def test_students_who_pause_or_have_left_get_no_lessons(
    studio: Studio, student: Student, term: Term
) -> None:
    student.status, student.left = Student.Status.LEFT, dt.date(2026, 12, 3)
    student.save()
    paused = StudentFactory.create(family__studio=studio, status=Student.Status.PAUSED)
    slot = SlotFactory.create(studio=studio, students=[student, paused])
    schedule.fill(studio, [term], DAY)
    assert days(slot) == [DAY, dt.date(2026, 12, 2)]


@pytest.mark.usefixtures("term")
def test_a_slot_outside_any_term_is_refused(studio: Studio, student: Student) -> None:
    with pytest.raises(Refused, match="No Monday from 14 December 2026 on lies in a term"):
        schedule.add_slot(
            studio, [student], SlotTime(0, dt.time(15), 30), dt.date(2026, 12, 14), DAY
        )
    assert not Slot.objects.exists()


@pytest.mark.usefixtures("term")
def test_a_new_slot_is_filled_at_once(studio: Studio, student: Student) -> None:
    slot, filled = schedule.add_slot(studio, [student], SlotTime(0, dt.time(15), 45), DAY, DAY)
    assert (filled.made, days(slot)) == (2, [dt.date(2026, 11, 30), dt.date(2026, 12, 7)])


def test_a_changed_slot_keeps_the_past_and_moves_the_future(slot: Slot) -> None:
    identities = dict(slot.lessons.values_list("uid", "date"))
    new = schedule.change_slot(slot, SlotTime(3, dt.time(17), 45), dt.date(2026, 11, 30), DAY)
    slot.refresh_from_db()
    assert slot.last_day == dt.date(2026, 11, 29)
    assert days(slot)[-1] == DAY
    moved = list(new.lessons.order_by("date"))
    assert [lesson.date for lesson in moved] == [dt.date(2026, 12, 3), dt.date(2026, 12, 10)]
    assert all(lesson.uid in identities and lesson.sequence == 1 for lesson in moved)
    assert {(lesson.starts, lesson.minutes) for lesson in moved} == {(dt.time(17), 45)}


def test_a_changed_slot_keeps_lessons_moved_by_hand_and_those_that_fell_out(slot: Slot) -> None:
    second_december = slot.lessons.get(date=dt.date(2026, 12, 2))
    ninth = slot.lessons.get(date=dt.date(2026, 12, 9))
    move(second_december, When(dt.date(2026, 12, 5), dt.time(10, 0)))
    cancel(ninth, "family", NOON)
    new = schedule.change_slot(slot, SlotTime(3, dt.time(17), 45), dt.date(2026, 11, 26), DAY)
    found = [(one.date, one.starts, one.status) for one in new.lessons.order_by("date")]
    assert found == [
        (dt.date(2026, 11, 26), dt.time(17), "planned"),
        (dt.date(2026, 12, 5), dt.time(10), "planned"),
        (dt.date(2026, 12, 9), dt.time(16, 15), "cancelled-family"),
    ]


def test_a_slot_made_fortnightly_drops_every_second_lesson(slot: Slot) -> None:
    new = schedule.change_slot(
        slot, SlotTime(2, dt.time(16, 15), 30, every_weeks=2), dt.date(2026, 11, 25), DAY
    )
    assert days(new) == [DAY, dt.date(2026, 12, 9)]


def test_a_slot_that_has_not_begun_is_changed_in_place(studio: Studio, student: Student) -> None:
    TermFactory.create(studio=studio)
    slot, _ = schedule.add_slot(studio, [student], SlotTime(0, dt.time(15), 45), DAY, DAY)
    new = schedule.change_slot(slot, SlotTime(4, dt.time(15), 45), DAY, DAY)
    assert new == slot
    assert Slot.objects.count() == 1
    assert days(new) == [dt.date(2026, 11, 27), dt.date(2026, 12, 4), dt.date(2026, 12, 11)]


def test_a_change_that_would_double_book_is_refused_as_a_whole(studio: Studio, slot: Slot) -> None:
    LessonFactory.create(
        student__family__studio=studio,
        student__given_name="Aroha",
        date=dt.date(2026, 12, 10),
        starts=dt.time(17, 15),
    )
    before = set(Lesson.objects.values_list("pk", "date", "starts", "slot_day", "slot"))
    with pytest.raises(Refused, match="Thursday 10 December at 17:00: Aroha’s lesson"):
        schedule.change_slot(slot, SlotTime(3, dt.time(17), 30), dt.date(2026, 11, 26), DAY)
    assert set(Lesson.objects.values_list("pk", "date", "starts", "slot_day", "slot")) == before
    assert Slot.objects.count() == 1


def test_a_slot_may_move_onto_the_time_of_the_same_students_other_slot_only_if_free(
    studio: Studio, student: Student, slot: Slot
) -> None:
    schedule.add_slot(studio, [student], SlotTime(3, dt.time(16, 15), 30), DAY, DAY)
    with pytest.raises(Refused, match="Imani’s lesson is from 16:15"):
        schedule.change_slot(slot, SlotTime(3, dt.time(16, 15), 30), DAY, DAY)


def test_a_change_cannot_begin_in_the_past(slot: Slot) -> None:
    with pytest.raises(Refused, match="24 November 2026 has passed"):
        schedule.change_slot(slot, SlotTime(3, dt.time(17), 30), dt.date(2026, 11, 24), DAY)


def test_an_ended_slot_keeps_what_was_and_drops_what_would_come(slot: Slot) -> None:
    assert schedule.end_slot(slot, dt.date(2026, 12, 2), DAY) == 1
    assert days(slot)[-1] == dt.date(2026, 12, 2)
    with pytest.raises(Refused, match="begins on 14 September"):
        schedule.end_slot(slot, dt.date(2026, 9, 1), DAY)


def test_a_closure_takes_out_coming_planned_lessons_only(studio: Studio, slot: Slot) -> None:
    moved = slot.lessons.get(date=dt.date(2026, 12, 9))
    move(moved, When(dt.date(2026, 12, 3), dt.time(10, 0)))
    closure = ClosureFactory.create(
        studio=studio, starts=dt.date(2026, 11, 16), ends=dt.date(2026, 12, 4)
    )
    assert schedule.close(closure, DAY) == 2
    assert days(slot)[-2:] == [dt.date(2026, 11, 18), dt.date(2026, 12, 3)]
