"""Calendar streams: by a private address without sign-in, and as a file for the teacher."""

from __future__ import annotations

import re

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.db import transaction
from django.db.models import Prefetch, QuerySet
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.cache import get_conditional_response
from django.utils.http import content_disposition_header
from django.utils.text import slugify
from django.utils.translation import gettext as _
from django.utils.translation import ngettext, pgettext
from django.views.decorators.http import require_GET, require_POST, require_safe

from studio import clock
from studio.access.models import Studio
from studio.lessons import addresses, feed
from studio.lessons.models import Lesson
from studio.links import tokens
from studio.links.guessing import TooManyGuesses, wrong_link
from studio.links.models import HomeLink, TeacherLink
from studio.people.guards import own_family
from studio.people.models import Family, Student
from studio.record.models import What
from studio.record.noting import note
from studio.terms.models import Recital
from studio.web import qr
from studio.web.http import StudioRequest
from studio.web.speaking import speaking


def _opened(request: HttpRequest, token: str) -> HomeLink | TeacherLink:
    """The link of a private address; wrong, old and revoked ones get one and the same answer."""
    now = clock.now()
    link = tokens.find(HomeLink, token, now, "family__studio") or tokens.find(
        TeacherLink, token, now, "studio"
    )
    if link is None or (isinstance(link, HomeLink) and link.opens != HomeLink.Opens.CALENDAR):
        raise wrong_link(request)
    tokens.used(link, now)
    return link


def _wait(error: TooManyGuesses) -> HttpResponse:
    headers = {"Retry-After": str(error.seconds)}
    kind = "text/plain; charset=utf-8"
    return HttpResponse(_("Too many tries."), status=429, headers=headers, content_type=kind)


@login_not_required
@require_safe
def by_address(request: HttpRequest, token: str) -> HttpResponse:
    """The stream that calendar programs read."""
    try:
        link = _opened(request, token)
    except TooManyGuesses as error:
        return _wait(error)
    source = request.build_absolute_uri(request.path)
    if isinstance(link, HomeLink):
        return _family_stream(request, link.family, source)
    return _studio_stream(request, link.studio, source)


@login_not_required
@require_safe
def address_page(request: HttpRequest, token: str) -> HttpResponse:
    """What a phone opens from the code: the next lessons, and how to put them into a calendar."""
    try:
        link = _opened(request, token)
    except TooManyGuesses as error:
        return _wait(error)
    if isinstance(link, HomeLink):
        studio, whose = link.family.studio, Lesson.objects.filter(student__family=link.family)
        names = feed.shown_names(link.family.students.all())
        recitals = Recital.objects.for_family(link.family)
    else:
        studio, whose = link.studio, Lesson.objects.of(link.studio)
        names = feed.shown_names(Student.objects.of(link.studio))
        recitals = Recital.objects.of(studio)
    today = clock.today(studio)
    coming = whose.filter(date__gte=today).order_by("date", "starts")
    address = request.build_absolute_uri(reverse("lessons:feed", args=[token]))
    context = {
        "studio": studio,
        "lessons": [(lesson, names.get(lesson.student_id, "")) for lesson in coming[:8]],
        "recitals": recitals.filter(date__gte=today),
        "address": address,
        "webcal": re.sub(r"^https?:", "webcal:", address),
    }
    with speaking(studio):
        return render(request, "lessons/address_page.html", context)


def _family_stream(request: HttpRequest, family: Family, source: str = "") -> HttpResponse:
    studio = family.studio
    names = feed.shown_names(family.students.all())
    today = clock.today(studio)
    lessons, recitals = feed.family_lessons(family, today), feed.family_recitals(family, today)
    with speaking(studio):
        name = _("Violin lessons, {teacher}").format(teacher=studio.teacher)
        return _stream(request, studio, name, lessons, names, source, recitals)


def _studio_stream(request: HttpRequest, studio: Studio, source: str = "") -> HttpResponse:
    names = feed.shown_names(Student.objects.of(studio))
    today = clock.today(studio)
    lessons, recitals = feed.studio_lessons(studio, today), feed.studio_recitals(studio, today)
    with speaking(studio):
        name = _("{studio}: lessons").format(studio=studio.name)
        return _stream(request, studio, name, lessons, names, source, recitals)


def _stream(
    request: HttpRequest,
    studio: Studio,
    name: str,
    lessons: QuerySet[Lesson],
    names: dict[int, str],
    source: str,
    recitals: list[Recital],
) -> HttpResponse:
    etag = feed.etag(studio, lessons, names, source, recitals)
    unchanged = get_conditional_response(request, etag=etag)
    if unchanged is not None and unchanged.status_code == 304:
        unchanged.headers["ETag"] = etag
        return unchanged
    body = feed.stream(studio, name, lessons, names, source, recitals)
    return HttpResponse(body, content_type=feed.MEDIA_TYPE, headers={"ETag": etag})


@require_safe
def family_file(request: StudioRequest, pk: int) -> HttpResponse:
    family = own_family(request, pk)
    return _as_file(_family_stream(request, family), family.name)


@require_safe
def studio_file(request: StudioRequest) -> HttpResponse:
    return _as_file(_studio_stream(request, request.studio), request.studio.name)


def _as_file(response: HttpResponse, whose: str) -> HttpResponse:
    kind = pgettext("file name", "lessons")
    name = slugify(f"{kind} {whose}", allow_unicode=True)
    disposition = content_disposition_header(as_attachment=True, filename=f"{name}.ics")
    response.headers["Content-Disposition"] = disposition or "attachment"
    return response


@require_GET
def address_list(request: StudioRequest) -> HttpResponse:
    """Every family and whether it has a calendar address; the teacher's own on top."""
    families = (
        Family.objects.filter(studio=request.studio, students__status=Student.Status.LEARNING)
        .distinct()
        .prefetch_related(
            "students",
            Prefetch(
                "links",
                HomeLink.objects.filter(opens=HomeLink.Opens.CALENDAR, revoked=None),
                to_attr="calendar_links",
            ),
        )
    )
    link = addresses.teacher_link(request.studio)
    context = {
        "families": families,
        "link": link,
        "address": addresses.address(request, link),
        "room": "addresses",
        "section": "calendar",
    }
    return render(request, "lessons/addresses.html", context)


@require_GET
def family_address(request: StudioRequest, pk: int) -> HttpResponse:
    family = own_family(request, pk)
    link = addresses.family_link(family)
    context = {
        "family": family,
        "link": link,
        "address": addresses.address(request, link),
        "section": "calendar",
    }
    return render(request, "lessons/family_address.html", context)


@require_POST
def family_address_renew(request: StudioRequest, pk: int) -> HttpResponse:
    family = own_family(request, pk)
    with transaction.atomic():
        addresses.renew_family(family, clock.now())
        note(request, What.LINK_RENEWED, _("lesson calendar"), family=family)
    words = _("The family {name} has a calendar address.")
    messages.success(request, words.format(name=family.name))
    return redirect("lessons:family-address", family.pk)


@require_POST
def family_address_revoke(request: StudioRequest, pk: int) -> HttpResponse:
    family = own_family(request, pk)
    link = addresses.family_link(family)
    if link is not None:
        with transaction.atomic():
            tokens.revoke(link, clock.now())
            note(request, What.LINK_REVOKED, _("lesson calendar"), family=family)
    words = _("The calendar address of {name} opens nothing any more.")
    messages.success(request, words.format(name=family.name))
    return redirect("lessons:family-address", family.pk)


@require_POST
def make_missing(request: StudioRequest) -> HttpResponse:
    with transaction.atomic():
        made = addresses.make_missing(request.studio, clock.now())
        if made:
            note(request, What.LINK_MADE, _("lesson calendars, {n} in all").format(n=made))
    words = ngettext("{n} family has a new address.", "{n} families have a new address.", made)
    messages.success(request, words.format(n=made))
    return redirect("lessons:addresses")


@require_POST
def teacher_address_renew(request: StudioRequest) -> HttpResponse:
    with transaction.atomic():
        addresses.renew_teacher(request.studio, clock.now())
        note(request, What.LINK_RENEWED, _("your own lesson calendar"))
    messages.success(request, _("Your own calendar has its address."))
    return redirect("lessons:addresses")


@require_POST
def teacher_address_revoke(request: StudioRequest) -> HttpResponse:
    link = addresses.teacher_link(request.studio)
    if link is not None:
        with transaction.atomic():
            tokens.revoke(link, clock.now())
            note(request, What.LINK_REVOKED, _("your own lesson calendar"))
    messages.success(request, _("The address of your own calendar opens nothing any more."))
    return redirect("lessons:addresses")


@require_GET
def family_code(request: StudioRequest, pk: int) -> HttpResponse:
    """The page of the family's calendar address as a QR code."""
    address = addresses.page(request, addresses.family_link(own_family(request, pk)))
    if address is None:
        raise Http404("This family has no calendar address.")  # no words: shown nowhere
    return HttpResponse(qr.svg(address), content_type="image/svg+xml")
