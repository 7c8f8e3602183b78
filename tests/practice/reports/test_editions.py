"""A given report never changes; a correction is the next edition and says so."""

from __future__ import annotations

import datetime as dt

import pytest
from django.db import IntegrityError, transaction

from practice.models import Report
from practice.reports import editions
from practice.reports.figures import term_figures
from practice.reports.models import AlreadyGiven
from studio.models import Student, Studio, Term
from tests import factories
from tests.practice.reports.material import ENDS, STARTS, played

LATE = dt.datetime(2026, 12, 11, 23, 30, tzinfo=dt.UTC)


@pytest.fixture
def term(studio: Studio) -> Term:
    return factories.TermFactory.create(studio=studio)


def given(term: Term, student: Student, zone: str = "Europe/Lisbon") -> Report:
    figures = term_figures(term, [student], ENDS)[student.pk]
    draft = editions.keep_words(term, student, "She *listens*.")
    assert draft is not None
    return editions.give(draft, figures, None, LATE, zone)


def test_words_are_kept_as_a_draft(term: Term, student: Student) -> None:
    editions.keep_words(term, student, "One")
    editions.keep_words(term, student, "One two")
    assert [(row.words, row.given) for row in Report.objects.all()] == [("One two", None)]


def test_a_given_report_stays_when_the_data_change(term: Term, student: Student) -> None:
    played(student, STARTS, "scale", 10, 10)
    report = given(term, student)
    before = editions.as_given(report)
    assert before.practised == 10
    played(student, STARTS, "etude", 10, 10)
    student.given_name = "Imma"
    student.save()
    term.name = "Renamed"
    term.save()
    report.refresh_from_db()
    assert editions.as_given(report) == before
    assert term_figures(term, [student], ENDS)[student.pk].practised == 20


def test_the_day_it_was_given_is_the_studios(term: Term, student: Student) -> None:
    assert editions.as_given(given(term, student, "Asia/Tokyo")).given == dt.date(2026, 12, 12)


def test_a_given_report_takes_no_more_words(term: Term, student: Student) -> None:
    report = given(term, student)
    assert editions.keep_words(term, student, "Others") is None
    report.words = "Others"
    with pytest.raises(AlreadyGiven):
        report.save()
    report.refresh_from_db()
    assert report.words == "She *listens*."


def test_a_correction_is_a_second_edition_that_names_the_first(
    term: Term, student: Student
) -> None:
    first = given(term, student)
    frozen = first.figures
    draft = editions.correct(first)
    assert (draft.edition, draft.words) == (2, "She *listens*.")
    assert editions.correct(first) == draft
    editions.keep_words(term, student, "She listens well.")
    draft.refresh_from_db()
    figures = term_figures(term, [student], ENDS)[student.pk]
    later = LATE + dt.timedelta(days=9)
    second = editions.as_given(editions.give(draft, figures, first, later, "Europe/Lisbon"))
    assert (second.edition, second.replaces) == (2, dt.date(2026, 12, 11))
    first.refresh_from_db()
    assert (first.figures, first.words) == (frozen, "She *listens*.")


@pytest.mark.parametrize("words", ["", " \n "])
def test_without_words_nothing_is_given(term: Term, student: Student, words: str) -> None:
    figures = term_figures(term, [student], ENDS)[student.pk]
    draft = editions.keep_words(term, student, words)
    assert draft is not None
    with pytest.raises(editions.NothingToGive):
        editions.give(draft, figures, None, LATE, "UTC")


def test_of_two_windows_only_one_gives(term: Term, student: Student) -> None:
    report = given(term, student)
    stale = Report(
        pk=report.pk, term=term, student=student, words=report.words, edition=1, given=None
    )
    figures = term_figures(term, [student], ENDS)[student.pk]
    with pytest.raises(editions.NothingToGive, match="another window"):
        editions.give(stale, figures, None, LATE + dt.timedelta(days=1), "UTC")
    report.refresh_from_db()
    assert report.given == LATE


def test_the_database_keeps_editions_and_drafts_apart(term: Term, student: Student) -> None:
    rows = {"term": term, "student": student}
    Report.objects.create(**rows)
    for wrong in (
        {"edition": 1, "given": LATE, "figures": {}},
        {"edition": 2},
        {"edition": 3, "given": LATE},
        {"edition": 0, "given": LATE, "figures": {}},
    ):
        with pytest.raises(IntegrityError), transaction.atomic():
            Report.objects.create(**rows, **wrong)


def test_a_term_with_a_report_stays(term: Term, student: Student) -> None:
    from studio.lessons.booking import Refused
    from studio.lessons.schedule import remove_term

    factories.LessonFactory.create(student=student, date=STARTS)
    editions.keep_words(term, student, "She listens.")
    with pytest.raises(Refused, match="so the term stays"):
        remove_term(term)
    assert student.lessons.count() == 1
