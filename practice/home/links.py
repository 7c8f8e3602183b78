"""The private links of a family: whom each opens for, its address, and the letter it goes in."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from urllib.parse import quote, urlencode
from zoneinfo import ZoneInfo

from django.db.models import Q, QuerySet
from django.http import HttpRequest
from django.urls import reverse
from django.utils.translation import gettext as _

from studio import clock
from studio.language.lists import listed
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
    def last_day(self) -> dt.date | None:
        """The last day on which it works, in the studio's zone."""
        if self.link.expires is None:
            return None
        last = self.link.expires - dt.timedelta(seconds=1)
        return last.astimezone(ZoneInfo(self.link.family.studio.zone)).date()

    @property
    def opens(self) -> str:
        if self.link.student is None:
            return everybody()
        return alone(self.link.student)


@dataclass(frozen=True)
class SheetCode:
    """A child, and the link its sheets carry; None where they carry none."""

    student: Student
    shown: ShownLink | None
    opens: str

    @property
    def whose(self) -> str:
        return _("{name}’s sheet").format(name=self.student.given_name)


def alone(student: Student) -> str:
    """Whom a link of one child opens for."""
    return _("{name} alone").format(name=student.given_name)


def everybody() -> str:
    """Whom a link of the family opens for."""
    return _("all children of the family")


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


def opened_by(link: HomeLink, family: Iterable[Student]) -> list[Student]:
    """Whose pages the link opens, of all who ever were in its family; the link's own child first.

    The sheet's link shows the other children too, but nobody who has a page of one's own: neither
    from that one's sheet, nor that one from a younger child's.
    """
    here = [each for each in family if each.status != Student.Status.LEFT]
    own = [each for each in here if each.pk == link.student_id]
    if link.student_id is None or link.opens == HomeLink.Opens.STUDENT or not own:
        return here if link.student_id is None else own
    today = clock.today(own[0].family.studio)
    if has_own_page(own[0], today):
        return own
    return own + [each for each in here if each not in own and not has_own_page(each, today)]


def sheet_link(student: Student, now: dt.datetime) -> HomeLink | None:
    """The link whose code the student's sheets carry: no grown-up's, so it outlives theirs."""
    links = HomeLink.objects.filter(student=student, opens=HomeLink.Opens.SHEET, revoked=None)
    return links.filter(Q(expires=None) | Q(expires__gt=now)).order_by("created", "pk").first()


def give_sheet_links(students: Iterable[Student]) -> None:
    """A link for the sheets of each who never had one; one that was shut stays shut."""
    for student in students:
        if not student.links.filter(opens=HomeLink.Opens.SHEET).exists():
            tokens.issue(
                HomeLink(opens=HomeLink.Opens.SHEET, family=student.family, student=student)
            )


def renew_sheet_link(student: Student) -> None:
    """A fresh address for the sheets to come; the code on earlier ones opens nothing any more."""
    link = student.links.filter(opens=HomeLink.Opens.SHEET).first() or HomeLink(
        opens=HomeLink.Opens.SHEET, family=student.family, student=student
    )
    tokens.issue(link)


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
    whose = listed(names)
    body = _(
        "Hello,\n\nhere is {name}’s practice page. It shows each day what to play, in order,"
        " and you can tick what was done and write me a word:\n\n"
        "{address}\n\n"
        "It needs no password, so please keep the address in the family. The page opens on a"
        " phone; save it to the home screen and it is one tap away.\n\n"
        "{teacher}\n"
    ).format(name=whose, address=where, teacher=teacher)
    subject = _("{name}’s practice page").format(name=whose)
    said = urlencode({"subject": subject, "body": body}, quote_via=quote)
    # RFC 6068: line breaks of the body are %0D%0A.
    return f"mailto:{quote(to, safe='@')}?{said.replace('%0A', '%0D%0A')}"


def addressee(link: HomeLink, guardians: list[Guardian]) -> str:
    """The e-mail of the grown-up the link is named after, or of the only one there is.

    A child's own link goes to nobody by itself.
    """
    if link.opens == HomeLink.Opens.SHEET:
        return ""
    named = [each.email for each in guardians if link.label and each.name == link.label]
    if named:
        return named[0]
    return guardians[0].email if len(guardians) == 1 else ""


def shown(request: HttpRequest, family: Family, now: dt.datetime) -> list[ShownLink]:
    """Every grown-up's link of the family with what the page needs of it. Three queries."""
    guardians = list(family.guardians.all())
    children = [
        each.given_name for each in family.students.exclude(status=Student.Status.LEFT)
    ] or [family.name]
    links = home_links(family).exclude(opens=HomeLink.Opens.SHEET)
    return [_shown(request, link, guardians, children, now) for link in links]


def codes_on_sheets(request: HttpRequest, family: Family, now: dt.datetime) -> list[SheetCode]:
    """Each child of the family with its sheets' link. Two queries."""
    everyone = list(family.students.select_related("family__studio"))
    found = {}
    for link in home_links(family).filter(opens=HomeLink.Opens.SHEET, revoked=None):
        if works(link, now) and link.student_id:
            found[link.student_id] = link
    return [
        _sheet_code(request, each, found.get(each.pk), everyone, now)
        for each in everyone
        if each.status != Student.Status.LEFT
    ]


def _sheet_code(
    request: HttpRequest,
    student: Student,
    link: HomeLink | None,
    family: list[Student],
    now: dt.datetime,
) -> SheetCode:
    if link is None:
        return SheetCode(student, None, "")
    names = [each.given_name for each in opened_by(link, family)]
    opens = listed(names) if len(names) > 1 else alone(student)
    return SheetCode(student, _shown(request, link, [], names, now), opens)


def _shown(
    request: HttpRequest,
    link: HomeLink,
    guardians: list[Guardian],
    children: list[str],
    now: dt.datetime,
) -> ShownLink:
    where = address(request, link)
    to, teacher = addressee(link, guardians), link.family.studio.teacher
    text = letter(link, to, children, where, teacher) if where else ""
    return ShownLink(link, where, text, works(link, now))
