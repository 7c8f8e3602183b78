import datetime as dt

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from studio.lessons import changes
from studio.lessons.changes import When
from studio.lessons.ledgers import term_ledgers
from studio.lessons.statements import family_accounts
from studio.models import Lesson, Student, Studio, Term
from tests.factories import DAY, LessonFactory, SlotFactory, StudentFactory, TermFactory

pytestmark = pytest.mark.usefixtures("frozen")
NOON = dt.datetime.combine(DAY, dt.time(12), tzinfo=dt.UTC)


@pytest.fixture
def term(studio: Studio) -> Term:
    return TermFactory.create(studio=studio)


@pytest.fixture
def lessons(studio: Studio, student: Student, term: Term) -> list[Lesson]:
    """Eight Wednesdays from 14 October to 2 December; 25 November is today."""
    slot = SlotFactory.create(studio=studio, students=[student])
    days = [dt.date(2026, 10, 14) + dt.timedelta(weeks=n) for n in range(8)]
    return [
        LessonFactory.create(student=student, slot=slot, date=day, slot_day=day) for day in days
    ]


def a_mixed_term(lessons: list[Lesson]) -> None:
    changes.keep(lessons[0], DAY)
    (moved,) = changes.move(lessons[1], When(dt.date(2026, 10, 23), dt.time(10)))
    changes.keep(moved, DAY)
    changes.miss(lessons[2], DAY)
    (lost,) = changes.cancel(lessons[3], "teacher", NOON)
    made = changes.make_up(lost, When(dt.date(2026, 11, 6), dt.time(10)), dt.date(2026, 11, 5))
    changes.keep(made, DAY)
    changes.cancel(lessons[4], "family", NOON)  # at short notice: it has long begun
    changes.cancel(lessons[7], "family", NOON)


def test_a_statement_says_what_became_of_each_lesson(
    student: Student, term: Term, lessons: list[Lesson]
) -> None:
    a_mixed_term(lessons)
    (account,) = family_accounts(term, student.family, DAY)
    assert [row.words for row in account.rows] == [
        "given",
        "given, moved from 21 October",
        "missed; no make-up",
        "cancelled by the teacher; made up on 6 November",
        "cancelled by the family at short notice; no make-up",
        "not marked yet",
        "still to come",
        "cancelled by the family in good time; make-up still to be found by 27 January",
    ]
    assert account.sentence == (
        "8 lessons: 2 given, 1 made up, 1 to be made up, 1 still to come, "
        "1 not marked yet, 2 forfeited."
    )
    assert account.ledger.sums


def test_a_lesson_moved_out_of_the_term_still_belongs_to_it(
    student: Student, term: Term, lessons: list[Lesson]
) -> None:
    changes.move(lessons[7], When(dt.date(2026, 12, 17), dt.time(10)))
    (account,) = family_accounts(term, student.family, DAY)
    assert account.ledger.owed == 8
    assert account.rows[-1].words == "still to come, moved from 2 December"


def test_a_make_up_in_the_next_term_counts_for_the_first(
    studio: Studio, student: Student, term: Term, lessons: list[Lesson]
) -> None:
    following = TermFactory.create(
        studio=studio, starts=dt.date(2027, 1, 4), ends=dt.date(2027, 3, 26)
    )
    (lost,) = changes.cancel(lessons[7], "teacher", NOON)
    changes.make_up(lost, When(dt.date(2027, 1, 5), dt.time(10)), DAY)
    ledgers, _ = term_ledgers(term, [student], DAY)
    assert (ledgers[student.pk].owed, ledgers[student.pk].placed) == (8, 1)
    later, _ = term_ledgers(following, [student], DAY)
    assert later[student.pk].owed == 0


def test_the_ledger_adds_up_and_costs_the_same_for_any_number_of_students(
    signed_in: Client, studio: Studio, term: Term, lessons: list[Lesson]
) -> None:
    a_mixed_term(lessons)
    address = reverse("lessons:ledger", args=[term.pk])
    counts = []
    for students in (1, 12):
        for number in range(students):
            LessonFactory.create(
                student=StudentFactory.create(family__studio=studio),
                date=DAY,
                starts=dt.time(8, number),
                minutes=10,
            )
        with CaptureQueriesContext(connection) as asked:
            page = signed_in.get(address).content.decode()
        counts.append(len(asked))
    assert counts[0] == counts[1] <= 7
    assert page.count("<tr>") == 1 + 1 + 13 + 1


def test_the_familys_page_shows_the_statement(
    signed_in: Client, student: Student, term: Term, lessons: list[Lesson]
) -> None:
    a_mixed_term(lessons)
    address = reverse("lessons:statement", args=[term.pk, student.family_id])
    page = signed_in.get(address).content.decode()
    assert "8 lessons: 2 given, 1 made up" in page
    assert "cancelled by the teacher; made up on 6 November" in page
