"""The teacher's page of a family's private links: make, show, send, renew, shut."""

from __future__ import annotations

from django.contrib import messages
from django.db import transaction
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST, require_safe

from practice.home.guards import own_link
from practice.home.link_forms import LinkForm
from practice.home.links import (
    address,
    codes_on_sheets,
    give_sheet_links,
    renew_sheet_link,
    shown,
    works,
)
from practice.home.take_home import file_name, take_home_file
from practice.plans.guards import own_assignment
from studio import clock
from studio.links import tokens
from studio.people.guards import own_family, own_student
from studio.people.models import Family, Student
from studio.record.models import What
from studio.record.noting import note
from studio.web import qr, reach
from studio.web.forms import answer
from studio.web.http import StudioRequest


@require_safe
def links(request: StudioRequest, pk: int) -> HttpResponse:
    family = own_family(request, pk)
    return _page(request, family, LinkForm(family=family, today=clock.today(request.studio)))


@require_POST
def link_make(request: StudioRequest, pk: int) -> HttpResponse:
    family = own_family(request, pk)
    today = clock.today(request.studio)
    form = LinkForm(request.POST, request.FILES, family=family, today=today)
    if not form.is_valid():
        return _page(request, family, form)
    link = form.link()
    with transaction.atomic():
        tokens.issue(link)
        give_sheet_links(form.opened())
        note(request, What.LINK_MADE, _("home page"), family=family, student=link.student)
    messages.success(request, _("The link is made. Send it, or show its code to the phone."))
    return redirect("home:links", family.pk)


@require_POST
def sheet_link_make(request: StudioRequest, pk: int) -> HttpResponse:
    """A code for the sheets of one child, where there is none or it was shut."""
    student = own_student(request, pk)
    with transaction.atomic():
        renew_sheet_link(student)
        note(request, What.LINK_MADE, _("home page"), family=student.family, student=student)
    said = _("{name}’s next sheet carries a code.").format(name=student.given_name)
    messages.success(request, said)
    return redirect("home:links", student.family_id)


@require_POST
def link_renew(request: StudioRequest, pk: int) -> HttpResponse:
    link = own_link(request, pk)
    if link.expires is not None and link.expires <= clock.now():
        link.expires = None
    with transaction.atomic():
        tokens.issue(link)
        note(request, What.LINK_RENEWED, _("home page"), family=link.family, student=link.student)
    said = _("The link has a new address. The earlier one opens nothing any more.")
    messages.success(request, said)
    return redirect("home:links", link.family_id)


@require_POST
def link_revoke(request: StudioRequest, pk: int) -> HttpResponse:
    link = own_link(request, pk)
    with transaction.atomic():
        tokens.revoke(link, clock.now())
        note(request, What.LINK_REVOKED, _("home page"), family=link.family, student=link.student)
    messages.success(request, _("The link is shut. Its address opens nothing any more."))
    return redirect("home:links", link.family_id)


@require_POST
def link_sent(request: StudioRequest, pk: int) -> HttpResponse:
    """Notes that the running week of whom the link opens for has been sent."""
    link = own_link(request, pk)
    students = [link.student] if link.student else list(link.family.students.learning())
    names = [each.given_name for each in students if _week_is_sent(each)]
    if names:
        messages.success(request, _("Noted: sent to {names}.").format(names=", ".join(names)))
    else:
        messages.warning(request, _("No week is decided yet, so nothing was noted as sent."))
    return redirect("home:links", link.family_id)


@require_GET
def link_code(request: StudioRequest, pk: int) -> HttpResponse:
    """The address of a link that works, as a QR code."""
    link = own_link(request, pk)
    where = address(request, link) if works(link, clock.now()) else None
    if where is None:
        raise Http404(_("This link cannot be shown."))
    return HttpResponse(qr.svg(where), content_type="image/svg+xml")


@require_GET
def take_home(request: StudioRequest, assignment_id: int) -> HttpResponse:
    """The week as one file, for a home no address reaches. Goes by mail; nothing is opened here."""
    assignment = own_assignment(request, assignment_id)
    content = take_home_file(assignment, clock.today(request.studio))
    name = f'attachment; filename="{file_name(assignment)}.html"'
    return HttpResponse(content, headers={"Content-Disposition": name})


def _week_is_sent(student: Student) -> bool:
    """The latest decided week: after a lesson that is the one just decided, not yet begun."""
    week = student.assignments.filter(plan__isnull=False).order_by("-starts").first()
    if week is None:
        return False
    week.sent = clock.now()
    week.save(update_fields=["sent"])
    return True


def _page(request: StudioRequest, family: Family, form: LinkForm) -> HttpResponse:
    now = clock.now()
    rows = shown(request, family, now)
    context = {
        "family": family,
        "open": [row for row in rows if row.open_now],
        "shut": [row for row in rows if not row.open_now],
        "codes": codes_on_sheets(request, family, now),
        "guardians": family.guardians.all(),
        "form": form,
        "reachable": reach.is_reachable(request),
        "section": "students",
    }
    return render(request, "home/links.html", context, status=answer(form))
