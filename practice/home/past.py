"""Sheets of weeks gone by, as the family may open them again."""

from __future__ import annotations

from dataclasses import replace

from django.db.models import QuerySet
from django.shortcuts import get_object_or_404

from practice.home.sheet_code import caption
from practice.plans.models import Assignment, Sheet
from practice.sheets.data import Code, SheetData
from studio.people.models import Student
from studio.web import qr

WEEKS_SHOWN = 20


def past_sheets(student: Student) -> QuerySet[Assignment]:
    """Weeks of which a sheet was printed, the latest first."""
    weeks = Assignment.objects.filter(student=student, plan__sheets__isnull=False)
    return weeks.order_by("-starts").distinct()[:WEEKS_SHOWN]


def past_sheet(student: Student, assignment_id: int) -> Sheet:
    """The latest sheet of that week of this student; 404 for anybody else's."""
    found = Sheet.objects.filter(
        plan__assignment=assignment_id, plan__assignment__student=student
    ).select_related("plan__assignment")
    return get_object_or_404(found.order_by("-edition")[:1])


def with_code(sheet: Sheet, address: str) -> SheetData:
    """The sheet with the opener's own address as its code.

    The printed code may be of a link somebody else holds, which must not be handed on.
    """
    data = SheetData.from_json(sheet.data)
    return replace(data, codes=(Code(qr.svg(address), caption(data.language), address),))
