"""The codes on a printed sheet: the same week on a phone, the lessons in a calendar."""

from __future__ import annotations

from django.http import HttpRequest
from django.utils import translation
from django.utils.translation import gettext as _

from practice.home.links import address, has_own_page, sheet_link
from practice.sheets.data import Code
from studio import clock
from studio.lessons import addresses
from studio.people.models import Student
from studio.web import qr, reach


def caption(language: str) -> str:
    """What stands under the code of the week, in the language of the sheet."""
    with translation.override(language):
        return _("this week on a phone")


def sheet_codes(request: HttpRequest, student: Student) -> tuple[Code, ...]:
    """One for each link there is; none where no phone could open the addresses."""
    if not reach.is_reachable(request):
        return ()
    link = sheet_link(student, clock.now())
    page = address(request, link, student) if link else None
    week = caption(student.family.studio.locale)
    found = ((week, page), (_("lessons in your calendar"), _calendar(request, student)))
    return tuple(Code(qr.svg(where), under, where) for under, where in found if where)


def _calendar(request: HttpRequest, student: Student) -> str | None:
    """The family's; not on the sheet of a child old enough to be shown apart from the others."""
    family = student.family
    if has_own_page(student, clock.today(family.studio)) and family.students.count() > 1:
        return None
    return addresses.page(request, addresses.family_link(family))
