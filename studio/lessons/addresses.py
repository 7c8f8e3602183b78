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
    """The whole address, for a screen, a code or a sheet; None when it cannot be shown."""
    token = tokens.shown_again(link) if link is not None else None
    if token is None:
        return None
    return request.build_absolute_uri(reverse("lessons:feed", args=[token]))


def family_addresses(request: HttpRequest, families: Iterable[Family]) -> dict[int, str | None]:
    """Addresses by family id, for printed codes; families without one are left out."""
    links = HomeLink.objects.filter(
        family__in=list(families), opens=HomeLink.Opens.CALENDAR, revoked=None
    )
    return {link.family_id: address(request, link) for link in links}
