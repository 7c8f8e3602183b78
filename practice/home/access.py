"""Who may open which child's page: the private link is all there is."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import wraps

from django.contrib.auth.decorators import login_not_required
from django.http import Http404, HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.gzip import gzip_page

from practice.home.links import opened_by
from studio import clock
from studio.access.models import Studio
from studio.links import tokens
from studio.links.guessing import TooManyGuesses, wrong_link
from studio.links.models import HomeLink
from studio.people.models import Student
from studio.web.speaking import speaking


@dataclass(frozen=True)
class Visit:
    """An opened link: the students it shows, first names only, and the token it came with.

    `whole_family`: whether it may show what is the family's, such as the lesson calendar.
    `for_grown_ups`: whether it may show what is meant for them, such as the term's report.
    """

    token: str
    studio: Studio
    students: tuple[Student, ...]
    whole_family: bool
    for_grown_ups: bool

    def student(self, pk: int | None) -> Student:
        """That child, or the first; 404 for anybody else's."""
        for each in self.students:
            if pk in (None, each.pk):
                return each
        raise Http404(_("No page has this address."))

    def others(self, student: Student) -> list[Student]:
        """The sisters and brothers one tap away."""
        return [each for each in self.students if each.pk != student.pk]


def _visit(request: HttpRequest, token: str) -> Visit:
    """Wrong, expired and revoked links, and those of students who left, get one answer."""
    link = tokens.find(HomeLink, token, clock.now())
    if link is None or link.opens == HomeLink.Opens.CALENDAR:
        raise wrong_link(request)
    family = list(Student.objects.filter(family=link.family_id).select_related("family__studio"))
    students = opened_by(link, family)
    if not students:
        raise wrong_link(request)
    tokens.used(link, clock.now())
    return Visit(
        token=token,
        studio=students[0].family.studio,
        students=tuple(students),
        whole_family=link.student_id is None or len(family) == 1,
        for_grown_ups=link.opens != HomeLink.Opens.SHEET,
    )


def for_home(view: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
    """Opens the link of the address and hands the view a Visit in place of the token.

    No cookie acts for the family, so there is nothing a forged post could borrow: no CSRF check.
    Its answers are packed: the one secret in them is the address they were asked by, so nobody
    can have them made who does not hold it, and there is nothing to find out by their length.
    """

    @csrf_exempt
    @login_not_required
    @gzip_page
    @wraps(view)
    def opened(request: HttpRequest, token: str, **kwargs: object) -> HttpResponse:
        try:
            visit = _visit(request, token)
        except TooManyGuesses as error:
            headers = {"Retry-After": str(error.seconds), "Content-Type": "text/plain"}
            return HttpResponse(_("Too many tries."), status=429, headers=headers)
        with speaking(visit.studio):
            response = view(request, visit, **kwargs)
        response.headers["Referrer-Policy"] = "no-referrer"
        response.headers["Cache-Control"] = "private, no-store"  # no words: a header
        return response

    return opened
