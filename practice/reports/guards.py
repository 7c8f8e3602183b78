"""Fetch what belongs to this studio; anything else is not there for its teacher."""

from __future__ import annotations

from django.db.models import Exists, OuterRef, Q, QuerySet
from django.shortcuts import get_object_or_404

from practice.reports.models import Report
from studio.lessons.models import Lesson
from studio.people.models import Student
from studio.terms.models import Term
from studio.web.http import StudioRequest


def own_term(request: StudioRequest, pk: int) -> Term:
    return get_object_or_404(Term.objects.select_related("studio"), pk=pk, studio=request.studio)


def students_of(term: Term) -> QuerySet[Student]:
    """Who was with the studio in the term; one who pauses only where a lesson or report is."""
    lessons = Lesson.objects.filter(student=OuterRef("pk")).within(term.starts, term.ends)
    reports = Report.objects.filter(student=OuterRef("pk"), term=term)
    here = ~Q(status=Student.Status.PAUSED) | Exists(lessons) | Exists(reports)
    stayed = Q(left=None) | Q(left__gte=term.starts)
    return Student.objects.of(term.studio).filter(here, stayed, started__lte=term.ends)


def own_student_of(request: StudioRequest, term: Term, pk: int) -> Student:
    found = Student.objects.of(request.studio).select_related("family__studio")
    return get_object_or_404(found, pk=pk, started__lte=term.ends)


def own_given(request: StudioRequest, term_id: int, student_id: int, edition: int) -> Report:
    """An edition that was given."""
    found = Report.objects.given().filter(
        term=term_id, student=student_id, term__studio=request.studio
    )
    return get_object_or_404(found.select_related("term"), edition=edition)
