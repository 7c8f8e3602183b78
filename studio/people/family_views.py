"""Families: the first student of one, its page, its guardians; and the table of sizes."""

from __future__ import annotations

from typing import Final

from django.contrib import messages
from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from studio import clock
from studio.people.forms import (
    FamilyForm,
    FirstStudentForm,
    GuardianForm,
    SizeNotesForm,
    StudentForm,
)
from studio.people.guards import own_family, own_guardian
from studio.people.models import Family, Guardian, Student
from studio.record.models import What
from studio.record.noting import note
from studio.web.forms import answer, posted
from studio.web.http import StudioRequest

SECTION: Final = "students"  # the link of the head that stays marked


@require_http_methods(["GET", "HEAD", "POST"])
def family_add(request: StudioRequest) -> HttpResponse:
    """A family with its first student, on one screen."""
    today = clock.today(request.studio)
    form = FirstStudentForm(
        **posted(request),
        initial={"started": today},
        today=today,
        week_start=request.studio.week_start,
    )
    if form.is_valid():
        student = form.add_to(request.studio)
        said = _("{name} is in your studio.").format(name=student.full_name)
        messages.success(request, said)
        return redirect("people:student", student.pk)
    return render(request, "people/family_add.html", {"form": form}, status=answer(form))


@require_GET
def family(request: StudioRequest, pk: int) -> HttpResponse:
    family = own_family(request, pk)
    context = {
        "family": family,
        "guardians": family.guardians.all(),
        "students": family.students.prefetch_related("slots"),
        "today": clock.today(request.studio),
        "section": SECTION,
    }
    return render(request, "people/family.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
def family_edit(request: StudioRequest, pk: int) -> HttpResponse:
    family = own_family(request, pk)
    name = family.name
    form = FamilyForm(**posted(request), instance=family)
    if form.is_valid():
        form.save()
        messages.success(request, _("The family {name} is saved.").format(name=family.name))
        return redirect("people:family", family.pk)
    context = {"form": form, "family": family, "name": name, "section": SECTION}
    return render(request, "people/family_edit.html", context, status=answer(form))


@require_http_methods(["GET", "HEAD", "POST"])
def student_add(request: StudioRequest, pk: int) -> HttpResponse:
    """A brother, a sister, a parent who starts too: one more student of this family."""
    family = own_family(request, pk)
    today = clock.today(request.studio)
    form = StudentForm(
        **posted(request),
        instance=Student(family=family),
        initial={"started": today, "family_name": family.name},
        today=today,
        week_start=request.studio.week_start,
    )
    if form.is_valid():
        student = form.save()
        said = _("{name} is in your studio.").format(name=student.full_name)
        messages.success(request, said)
        return redirect("people:student", student.pk)
    context = {"form": form, "family": family, "section": SECTION}
    return render(request, "people/student_add.html", context, status=answer(form))


@require_http_methods(["GET", "HEAD", "POST"])
def guardian_add(request: StudioRequest, pk: int) -> HttpResponse:
    family = own_family(request, pk)
    return _guardian_form(request, family, Guardian(family=family))


@require_http_methods(["GET", "HEAD", "POST"])
def guardian_edit(request: StudioRequest, pk: int) -> HttpResponse:
    guardian = own_guardian(request, pk)
    return _guardian_form(request, guardian.family, guardian)


def _guardian_form(request: StudioRequest, family: Family, guardian: Guardian) -> HttpResponse:
    name = guardian.name
    form = GuardianForm(**posted(request), instance=guardian)
    if form.is_valid():
        form.save()
        messages.success(request, _("{name} is saved.").format(name=guardian.name))
        return redirect("people:family", family.pk)
    context = {
        "form": form,
        "family": family,
        "guardian": guardian,
        "name": name,
        "section": SECTION,
    }
    return render(request, "people/guardian_edit.html", context, status=answer(form))


@require_POST
def guardian_remove(request: StudioRequest, pk: int) -> HttpResponse:
    guardian = own_guardian(request, pk)
    with transaction.atomic():
        guardian.delete()
        note(request, What.ERASED, _("a guardian with contacts"), family=guardian.family)
    messages.success(request, _("{name} is removed.").format(name=guardian.name))
    return redirect("people:family", guardian.family_id)


@require_http_methods(["GET", "HEAD", "POST"])
def sizes(request: StudioRequest) -> HttpResponse:
    """The teacher's own table for choosing an instrument size."""
    form = SizeNotesForm(**posted(request), studio=request.studio)
    if form.is_valid():
        form.save()
        messages.success(request, _("Your table of sizes is saved."))
        return redirect("people:sizes")
    return render(request, "people/sizes.html", {"form": form}, status=answer(form))
