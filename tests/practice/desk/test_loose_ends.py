"""What waits for the teacher, and who is quiet."""

from __future__ import annotations

import datetime as dt

from practice.desk.loose_ends import loose_ends, quiet_homes
from practice.desk.term import term_so_far
from studio.models import Lesson, Student, Studio
from tests import factories
from tests.factories import DAY


def ago(days: int) -> dt.date:
    return DAY - dt.timedelta(days=days)


def titles(studio: Studio) -> list[str]:
    return [end.title for end in loose_ends(studio, DAY)]


def test_a_kept_lesson_without_a_decided_week_waits(studio: Studio, student: Student) -> None:
    factories.LessonFactory.create(student=student, date=ago(2), status=Lesson.Status.KEPT)
    assert titles(studio) == ["Imani’s week"]
    factories.AssignmentFactory.create(student=student, starts=ago(1), printed=factories.NOW)
    assert titles(studio) == []


def test_a_decided_sheet_waits_for_the_printer(studio: Studio, student: Student) -> None:
    week = factories.AssignmentFactory.create(student=student, starts=ago(1))
    assert titles(studio) == ["Imani’s sheet"]
    week.sent = factories.NOW
    week.save()
    assert titles(studio) == []


def test_make_ups_are_told_in_one_line(studio: Studio, student: Student) -> None:
    for days in (9, 16):
        factories.LessonFactory.create(
            student=student,
            date=ago(days),
            status=Lesson.Status.CANCELLED_BY_TEACHER,
            make_up_owed=True,
        )
    assert titles(studio) == ["2 make-up lessons"]


def test_past_lessons_still_planned_want_a_mark(studio: Studio, student: Student) -> None:
    factories.LessonFactory.create(student=student, date=ago(8))
    assert titles(studio) == ["1 past lesson"]


def test_a_recital_of_the_next_four_weeks_is_told_with_its_pieces(
    studio: Studio, student: Student
) -> None:
    piece = factories.PerformanceFactory.create(programme__recital__studio=studio, student=student)
    recital = piece.programme.recital
    recital.name, recital.date = "Winter recital", DAY + dt.timedelta(days=28)
    recital.save()
    (told,) = loose_ends(studio, DAY)
    assert (told.title, told.words) == ("Winter recital", "on Wednesday 23 December: 1 piece")
    piece.delete()
    assert loose_ends(studio, DAY)[0].words == "on Wednesday 23 December: no pieces"
    assert loose_ends(studio, ago(1)) == []
    recital.called_off = True
    recital.save()
    assert loose_ends(studio, DAY) == []


def test_a_home_is_quiet_after_a_fortnight_without_a_log(studio: Studio, student: Student) -> None:
    plan = factories.PlanFactory.create(assignment__student=student, assignment__starts=ago(20))
    assert [(each.student, each.last_heard) for each in quiet_homes(studio, DAY)] == [
        (student, None)
    ]
    item = factories.ItemFactory.create(plan=plan, date=ago(14))
    factories.LogEntryFactory.create(item=item)
    assert quiet_homes(studio, DAY) == []


def test_a_quiet_home_was_heard_last_on_the_last_day_with_a_log(
    studio: Studio, student: Student
) -> None:
    for weeks, days in ((20, (20, 18)), (27, (27, 25)), (34, (33,))):
        plan = factories.PlanFactory.create(
            assignment__student=student, assignment__starts=ago(weeks)
        )
        for day in days:
            item = factories.ItemFactory.create(plan=plan, date=ago(day))
            if weeks > 20:
                factories.LogEntryFactory.create(item=item)
    factories.ItemFactory.create(plan__assignment__starts=ago(20))  # another student's
    assert [(each.student, each.last_heard) for each in quiet_homes(studio, DAY)] == [
        (student, ago(25)),
    ]


def test_a_student_without_a_week_is_not_called_quiet(studio: Studio, student: Student) -> None:
    assert quiet_homes(studio, DAY) == []


def test_weeks_of_the_term_count_from_its_first_monday(studio: Studio) -> None:
    factories.TermFactory.create(studio=studio)  # 14 September to 11 December 2026
    term = term_so_far(studio, DAY)
    assert term is not None
    assert (term.week, term.weeks) == (11, 13)
    assert term.pegs.count("past") == 10
    assert term_so_far(studio, DAY + dt.timedelta(days=60)) is None
