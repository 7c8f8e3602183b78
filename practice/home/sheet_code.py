"""The code on a printed sheet that opens the same week on a phone."""

from __future__ import annotations

from django.http import HttpRequest

from practice.home.links import address, fitting_link
from practice.sheets.data import Code
from studio import clock
from studio.people.models import Student
from studio.web import qr, reach

CAPTION = "this week on a phone"


def phone_code(request: HttpRequest, student: Student) -> Code | None:
    """None without a link that fits, and where no phone could open the address."""
    if not reach.is_reachable(request):
        return None
    link = fitting_link(student, clock.now(), clock.today(student.family.studio))
    where = address(request, link, student) if link else None
    return Code(qr.svg(where), CAPTION, where) if where else None
