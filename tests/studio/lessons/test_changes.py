import datetime as dt

import pytest

from studio.lessons import changes
from studio.lessons.booking import Refused
from studio.lessons.changes import When
from studio.models import BusyTime, Lesson, LessonRules, Student, Studio
from tests.factories import DAY, LessonFactory, SlotFactory, StudentFactory, TermFactory

NOON = dt.datetime.combine(DAY, dt.time(12), tzinfo=dt.UTC)
FRIDAY = dt.date(2026, 11, 27)
NEXT_WEEK = DAY + dt.timedelta(days=7)
CANCELLED = Lesson.Status.CANCELLED_BY_FAMILY


@pytest.fixture
def lesson(student: Student) -> Lesson:
    """Imani, on Friday 27 November at 16:15 for 30 minutes."""
    return LessonFactory.create(student=student, date=FRIDAY)


def another(studio: Studio, **values: object) -> Lesson:
    """A lesson of another family of the studio: Aroha."""
    return LessonFactory.create(
        **{
            "student__family__studio": studio,
            "student__given_name": "Aroha",
            "date": FRIDAY,
            "starts": dt.time(17, 0),
            **values,
        }
    )


def rules(studio: Studio, **values: object) -> None:
    LessonRules.objects.create(studio=studio, **values)


def test_a_move_keeps_the_identity_and_raises_the_sequence(lesson: Lesson) -> None:
    (moved,) = changes.move(lesson, When(NEXT_WEEK, dt.time(10, 0), minutes=45))
    assert (moved.pk, moved.uid) == (lesson.pk, lesson.uid)
    assert (moved.date, moved.starts, moved.minutes) == (NEXT_WEEK, dt.time(10), 45)
    assert moved.moved_by_hand
    assert moved.sequence == lesson.sequence + 1


@pytest.mark.parametrize("starts", [dt.time(16, 45), dt.time(17, 29)])
def test_a_move_onto_another_lesson_is_refused(
    studio: Studio, lesson: Lesson, starts: dt.time
) -> None:
    another(studio)
    with pytest.raises(Refused, match=r"Aroha’s lesson is from 17:00 to 17:30\.$"):
        changes.move(lesson, When(FRIDAY, starts, minutes=30 if starts.hour == 17 else 20))
    lesson.refresh_from_db()
    assert (lesson.starts, lesson.sequence) == (dt.time(16, 15), 0)


def test_a_cancelled_lesson_leaves_its_time_free(studio: Studio, lesson: Lesson) -> None:
    another(studio, status=CANCELLED)
    changes.move(lesson, When(FRIDAY, dt.time(17, 0)))


def test_a_lesson_elsewhere_needs_the_way_there(studio: Studio, lesson: Lesson) -> None:
    rules(studio, travel_minutes=20)
    another(studio, place="Harbour School")
    with pytest.raises(Refused, match="at Harbour School, and the way there takes time"):
        changes.move(lesson, When(FRIDAY, dt.time(16, 15)))
    changes.move(lesson, When(FRIDAY, dt.time(16, 10)))
    changes.move(lesson, When(FRIDAY, dt.time(16, 30), link="https://example.org/room"))


def test_a_move_into_the_teachers_own_busy_time_is_refused(studio: Studio, lesson: Lesson) -> None:
    starts = dt.datetime(2026, 11, 27, 9, 0, tzinfo=dt.UTC)
    ends = starts + dt.timedelta(hours=2)
    BusyTime.objects.create(studio=studio, what="Quartet", starts=starts, ends=ends)
    with pytest.raises(Refused, match="Quartet is from 09:00 to 11:00"):
        changes.move(lesson, When(FRIDAY, dt.time(10, 45)))
    changes.move(lesson, When(FRIDAY, dt.time(11, 0)))


def test_lessons_of_another_studio_are_in_nobodys_way(
    lesson: Lesson, other_student: Student
) -> None:
    LessonFactory.create(student=other_student, date=FRIDAY, starts=dt.time(17, 0))
    changes.move(lesson, When(FRIDAY, dt.time(17, 0)))


def test_a_time_that_does_not_exist_is_refused_with_the_reason(lesson: Lesson) -> None:
    with pytest.raises(Refused, match="go forward from 01:00 to 02:00, so 01:30 does not exist"):
        changes.move(lesson, When(dt.date(2027, 3, 28), dt.time(1, 30)))


def test_siblings_move_together_or_one_alone(studio: Studio, student: Student) -> None:
    brother = StudentFactory.create(family=student.family, given_name="Kofi")
    slot = SlotFactory.create(studio=studio, students=[student, brother])
    hers, his = (
        LessonFactory.create(student=one, slot=slot, date=FRIDAY, slot_day=FRIDAY)
        for one in (student, brother)
    )
    moved = changes.move(hers, When(FRIDAY, dt.time(10, 0)))
    assert {one.student for one in moved} == {student, brother}
    changes.move(his, When(FRIDAY, dt.time(11, 0)), with_siblings=False)
    starts = set(Lesson.objects.values_list("student__given_name", "starts"))
    assert starts == {("Imani", dt.time(10)), ("Kofi", dt.time(11))}
    with pytest.raises(Refused, match="Imani’s lesson is from 10:00"):
        changes.move(his, When(FRIDAY, dt.time(10, 15)), with_siblings=False)


@pytest.mark.parametrize("status", ["kept", "missed", "cancelled-family", "cancelled-teacher"])
def test_only_a_planned_lesson_moves_or_is_cancelled(lesson: Lesson, status: str) -> None:
    Lesson.objects.update(status=status)
    with pytest.raises(Refused, match="only a planned lesson can be moved"):
        changes.move(lesson, When(NEXT_WEEK, dt.time(10, 0)))
    with pytest.raises(Refused, match="only a planned lesson can be cancelled"):
        changes.cancel(lesson, "family", NOON)


@pytest.mark.parametrize(
    ("hours_before", "with_notice"), [(24, True), (23.99, False), (-1, False), (500, True)]
)
def test_notice_is_counted_by_the_teachers_own_hours(
    lesson: Lesson, hours_before: float, with_notice: bool
) -> None:
    begins = dt.datetime(2026, 11, 27, 16, 15, tzinfo=dt.UTC)
    (lost,) = changes.cancel(lesson, "family", begins - dt.timedelta(hours=hours_before))
    assert (lost.status, lost.with_notice) == (CANCELLED, with_notice)
    assert lost.make_up_owed == with_notice
    assert lost.sequence == 1


def test_notice_is_counted_in_elapsed_hours_through_a_clock_change(student: Student) -> None:
    lesson = LessonFactory.create(student=student, date=dt.date(2027, 3, 28), starts=dt.time(12))
    noon_before = dt.datetime(2027, 3, 27, 12, 0, tzinfo=dt.UTC)  # only 23 hours earlier
    (lost,) = changes.cancel(lesson, "family", noon_before)
    assert lost.with_notice is False


def test_the_teachers_rules_say_what_is_made_up(studio: Studio, lesson: Lesson) -> None:
    rules(studio, late_is_made_up=True, expiry_weeks=2)
    late = dt.datetime(2026, 11, 27, 16, 0, tzinfo=dt.UTC)
    (lost,) = changes.cancel(lesson, "family", late)
    assert (lost.with_notice, lost.make_up_owed) == (False, True)
    assert lost.make_up_until == FRIDAY + dt.timedelta(weeks=2)


@pytest.mark.parametrize(
    ("expiry", "until"),
    [("never", None), ("term", dt.date(2026, 12, 11)), ("weeks", dt.date(2027, 1, 22))],
)
def test_a_right_ends_as_the_rule_says(
    studio: Studio, lesson: Lesson, expiry: str, until: dt.date | None
) -> None:
    TermFactory.create(studio=studio)
    rules(studio, expiry=expiry)
    (lost,) = changes.cancel(lesson, "family", NOON)
    assert lost.make_up_until == until


def test_what_the_teacher_cancels_she_owes_without_end(lesson: Lesson) -> None:
    (lost,) = changes.cancel(lesson, "teacher", NOON + dt.timedelta(days=30))
    assert lost.status == Lesson.Status.CANCELLED_BY_TEACHER
    assert (lost.make_up_owed, lost.make_up_until, lost.with_notice) == (True, None, None)


def test_a_make_up_is_placed_once_and_within_its_time(studio: Studio, lesson: Lesson) -> None:
    rules(studio, expiry_weeks=1)
    (lost,) = changes.cancel(lesson, "family", NOON)
    with pytest.raises(Refused, match=r"had to be taken by 4 December; 5 December is later"):
        changes.make_up(lost, When(dt.date(2026, 12, 5), dt.time(10, 0)), DAY)
    made = changes.make_up(lost, When(dt.date(2026, 12, 4), dt.time(10, 0)), DAY)
    assert (made.makes_up, made.minutes, made.student) == (lost, 30, lesson.student)
    with pytest.raises(Refused, match="has its make-up on 4 December at 10:00"):
        changes.make_up(lost, When(dt.date(2026, 12, 3), dt.time(10, 0)), DAY)


def test_a_make_up_that_is_not_owed_is_refused(lesson: Lesson) -> None:
    with pytest.raises(Refused, match="No make-up lesson is owed for 27 November"):
        changes.make_up(lesson, When(NEXT_WEEK, dt.time(10, 0)), DAY)


def test_a_make_up_onto_another_lesson_is_refused(studio: Studio, lesson: Lesson) -> None:
    another(studio)
    (lost,) = changes.cancel(lesson, "family", NOON)
    with pytest.raises(Refused, match="Aroha’s lesson"):
        changes.make_up(lost, When(FRIDAY, dt.time(17, 15)), DAY)
    assert not Lesson.objects.exclude(makes_up=None).exists()


def test_a_swap_exchanges_the_times_of_two_families(studio: Studio, lesson: Lesson) -> None:
    other = another(studio, date=NEXT_WEEK, place="Harbour School")
    (hers,), (theirs,) = changes.swap(lesson, other)
    assert (hers.date, hers.starts, hers.place) == (NEXT_WEEK, dt.time(17), "")
    assert (theirs.date, theirs.starts, theirs.place) == (FRIDAY, dt.time(16, 15), "Harbour School")
    assert (hers.sequence, theirs.sequence) == (1, 1)


def test_a_swap_of_unequal_lengths_that_does_not_fit_is_refused(
    studio: Studio, lesson: Lesson
) -> None:
    short = another(studio, starts=dt.time(16, 45), minutes=20)
    another(studio, student__given_name="Nikolaj", starts=dt.time(17, 5))
    with pytest.raises(Refused, match="Nikolaj’s lesson is from 17:05"):
        changes.swap(lesson, short)


def test_a_swap_within_a_family_or_with_another_studio_is_refused(
    student: Student, lesson: Lesson, other_student: Student
) -> None:
    second = LessonFactory.create(student=student, date=NEXT_WEEK)
    with pytest.raises(Refused, match="of one family"):
        changes.swap(lesson, second)
    with pytest.raises(Refused, match="two studios"):
        changes.swap(lesson, LessonFactory.create(student=other_student, date=NEXT_WEEK))


def test_keeping_twice_is_keeping_once_and_calendars_are_not_told(lesson: Lesson) -> None:
    changes.keep(lesson, FRIDAY)
    kept = changes.keep(lesson, FRIDAY)
    assert (kept.status, kept.sequence) == (Lesson.Status.KEPT, 0)


def test_a_lesson_still_to_come_is_neither_kept_nor_missed(lesson: Lesson) -> None:
    with pytest.raises(Refused, match="27 November is still to come; it cannot be kept"):
        changes.keep(lesson, DAY)
    with pytest.raises(Refused, match="cannot be missed"):
        changes.miss(lesson, DAY)


@pytest.mark.parametrize("made_up", [True, False])
def test_a_missed_lesson_is_made_up_only_by_the_teachers_rule(
    studio: Studio, lesson: Lesson, made_up: bool
) -> None:
    rules(studio, missed_is_made_up=made_up)
    missed = changes.miss(lesson, FRIDAY)
    assert (missed.make_up_owed, missed.sequence) == (made_up, 0)
    assert (missed.make_up_until is not None) == made_up
    kept = changes.keep(missed, FRIDAY)
    assert (kept.status, kept.make_up_owed) == (Lesson.Status.KEPT, False)


def test_a_cancelled_lesson_is_planned_again_while_its_time_is_free(
    studio: Studio, lesson: Lesson
) -> None:
    (lost,) = changes.cancel(lesson, "family", NOON)
    planned = changes.plan_again(lost)
    assert (planned.status, planned.make_up_owed, planned.sequence) == ("planned", False, 2)
    (lost,) = changes.cancel(planned, "family", NOON)
    another(studio, starts=dt.time(16, 15))
    with pytest.raises(Refused, match="Aroha’s lesson"):
        changes.plan_again(lost)


def test_a_lesson_whose_make_up_is_placed_is_not_planned_again(lesson: Lesson) -> None:
    (lost,) = changes.cancel(lesson, "teacher", NOON)
    changes.make_up(lost, When(NEXT_WEEK, dt.time(10, 0)), DAY)
    with pytest.raises(Refused, match="has its make-up on 2 December"):
        changes.plan_again(lost)


def test_a_right_is_let_go_and_granted_by_hand(lesson: Lesson) -> None:
    (lost,) = changes.cancel(lesson, "family", NOON)
    assert not changes.let_go(lost).make_up_owed
    granted = changes.grant(lost)
    assert (granted.make_up_owed, granted.make_up_until) == (True, None)
    with pytest.raises(Refused, match="did not fall out"):
        changes.grant(LessonFactory.create(student=lesson.student, date=NEXT_WEEK))


def test_a_single_lesson_is_added_where_it_fits(student: Student, lesson: Lesson) -> None:
    with pytest.raises(Refused, match="Imani’s lesson is from 16:15"):
        changes.add_single(student, When(FRIDAY, dt.time(16, 30), minutes=60))
    added = changes.add_single(student, When(FRIDAY, dt.time(16, 45), minutes=60))
    assert (added.minutes, added.slot) == (60, None)


def test_a_lesson_taken_out_in_the_meantime_is_told_so(lesson: Lesson) -> None:
    Lesson.objects.all().delete()
    with pytest.raises(Refused, match="no longer there"):
        changes.keep(lesson, FRIDAY)
