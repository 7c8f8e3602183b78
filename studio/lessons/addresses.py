"""Calendar addresses of families and of the teacher: one that works for each."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

from django.db import transaction
from django.http import HttpRequest
from django.urls import reverse

from studio.access.models import Studio
from studio.links import tokens
from studio.links.models import HomeLink, PrivateLink, TeacherLink
from studio.people.models import Family, Student
from studio.web import reach


def family_link(family: Family) -> HomeLink | None:
    """The link that works now; None when none was made or it was revoked."""
    return HomeLink.objects.filter(
        family=family, opens=HomeLink.Opens.CALENDAR, revoked=None
    ).first()


def teacher_link(studio: Studio) -> TeacherLink | None:
    return TeacherLink.objects.filter(studio=studio, revoked=None).first()


@transaction.atomic
def renew_family(family: Family, now: dt.datetime) -> HomeLink:
    """A fresh address; the earlier one stops working."""
    for old in HomeLink.objects.select_for_update().filter(
        family=family, opens=HomeLink.Opens.CALENDAR
    ):
        tokens.revoke(old, now)
    link = HomeLink(family=family, opens=HomeLink.Opens.CALENDAR)
    tokens.issue(link)
    return link


def make_missing(studio: Studio, now: dt.datetime) -> int:
    """An address for every family that learns and has none; addresses in use stay."""
    families = Family.objects.filter(
        studio=studio, students__status=Student.Status.LEARNING
    ).distinct()
    without = [family for family in families if family_link(family) is None]
    for family in without:
        renew_family(family, now)
    return len(without)


@transaction.atomic
def renew_teacher(studio: Studio, now: dt.datetime) -> TeacherLink:
    for old in TeacherLink.objects.select_for_update().filter(studio=studio):
        tokens.revoke(old, now)
    link = TeacherLink(studio=studio)
    tokens.issue(link)
    return link


def address(request: HttpRequest, link: PrivateLink | None) -> str | None:
    """What a calendar program is given; None when it cannot be shown again."""
    return _absolute(request, link, "lessons:feed")


def page(request: HttpRequest, link: PrivateLink | None) -> str | None:
    """What a phone is given as a code: the page that says how to use the address."""
    return _absolute(request, link, "lessons:feed-page")


def _absolute(request: HttpRequest, link: PrivateLink | None, name: str) -> str | None:
    token = tokens.shown_again(link) if link is not None else None
    return None if token is None else reach.whole(request, reverse(name, args=[token]))


def family_pages(request: HttpRequest, families: Iterable[Family]) -> dict[int, str | None]:
    """Pages by family id, for printed codes; families without an address are left out."""
    links = HomeLink.objects.filter(
        family__in=list(families), opens=HomeLink.Opens.CALENDAR, revoked=None
    )
    return {link.family_id: page(request, link) for link in links}
