"""The private links a family holds: which fits whom, their addresses, and the letter they go in."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from urllib.parse import quote, urlencode

from django.db.models import Q, QuerySet
from django.http import HttpRequest
from django.urls import reverse

from studio.links import tokens
from studio.links.models import HomeLink
from studio.people.models import Family, Guardian, Student
from studio.web import reach


@dataclass(frozen=True)
class ShownLink:
    """A link with its address (None: this computer cannot show it again) and who it opens for."""

    link: HomeLink
    address: str | None
    letter: str
    open_now: bool

    @property
    def opens(self) -> str:
        if self.link.student is None:
            return "all children of the family"
        return f"{self.link.student.given_name} alone"


def home_links(family: Family) -> QuerySet[HomeLink]:
    """All ever made, the latest first; the calendar's address is none of them."""
    links = HomeLink.objects.filter(family=family).exclude(opens=HomeLink.Opens.CALENDAR)
    return links.select_related("student", "family__studio")


def works(link: HomeLink, now: dt.datetime) -> bool:
    return link.revoked is None and (link.expires is None or link.expires > now)


def has_own_page(student: Student, today: dt.date) -> bool:
    """Old enough, by the teacher's setting, for a link that shows no sister or brother."""
    age = student.age_on(today)
    return age is not None and age >= student.family.studio.own_link_age


def fitting_link(student: Student, now: dt.datetime, today: dt.date) -> HomeLink | None:
    """The link a sheet of this student may carry: an own one, else the family's.

    The earliest made stays the one, so the code does not change from week to week. A student
    with a page of one's own never carries a link that opens the other children's.
    """
    links = HomeLink.objects.filter(family=student.family_id, revoked=None).filter(
        Q(expires=None) | Q(expires__gt=now)
    )
    own = links.filter(student=student).order_by("created", "pk").first()
    if own is not None:
        return own
    others = Student.objects.filter(family=student.family_id).exclude(pk=student.pk)
    if has_own_page(student, today) and others.exclude(status=Student.Status.LEFT).exists():
        return None
    return links.filter(opens=HomeLink.Opens.FAMILY).order_by("created", "pk").first()


def address(request: HttpRequest, link: HomeLink, student: Student | None = None) -> str | None:
    """The whole address, of the link's first page or of one child's; None: cannot be shown."""
    token = tokens.shown_again(link)
    if token is None:
        return None
    path = (
        reverse("home:child", args=[token, student.pk])
        if student
        else reverse("home:home", args=[token])
    )
    return reach.whole(request, path)


def letter(link: HomeLink, to: str, children: list[str], where: str, teacher: str) -> str:
    """A mailto: address; the teacher's own mail program opens with all of it written."""
    names = [link.student.given_name] if link.student else children
    whose = " and ".join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else names)
    body = (
        f"Hello,\n\nhere is {whose}’s practice page. It shows each day what to play, in order,"
        " and you can tick what was done and write me a word:\n\n"
        f"{where}\n\n"
        "It needs no password, so please keep the address in the family. The page opens on a"
        " phone; save it to the home screen and it is one tap away.\n\n"
        f"{teacher}\n"
    )
    said = urlencode({"subject": f"{whose}’s practice page", "body": body}, quote_via=quote)
    # RFC 6068: line breaks of the body are %0D%0A.
    return f"mailto:{quote(to, safe='@')}?{said.replace('%0A', '%0D%0A')}"


def addressee(link: HomeLink, guardians: list[Guardian]) -> str:
    """The e-mail of the grown-up the link is named after, or of the only one there is.

    A link of one child alone goes to nobody by itself: whose it is the teacher knows.
    """
    named = [each.email for each in guardians if link.label and each.name == link.label]
    if named:
        return named[0]
    only = guardians[0].email if len(guardians) == 1 else ""
    return only if link.student_id is None else ""


def shown(request: HttpRequest, family: Family, now: dt.datetime) -> list[ShownLink]:
    """Every link of the family with what the page needs of it. Three queries."""
    guardians = list(family.guardians.all())
    children = [
        each.given_name for each in family.students.exclude(status=Student.Status.LEFT)
    ] or [family.name]
    found = []
    for link in home_links(family):
        where = address(request, link)
        to = addressee(link, guardians)
        text = letter(link, to, children, where, family.studio.teacher) if where else ""
        found.append(ShownLink(link, where, text, works(link, now)))
    return found
