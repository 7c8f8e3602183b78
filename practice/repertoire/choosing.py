"""Choosing a work for a student: as a piece, as the etude, as a favourite."""

from __future__ import annotations

from collections.abc import Collection
from typing import Any, Final

from django.contrib import messages
from django.db import transaction
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from practice.repertoire import changes
from practice.repertoire.finding import (
    DIFFICULTIES,
    by_difficulty,
    next_in_book,
    techniques_of,
    wanted,
)
from practice.repertoire.forms import EtudeForm, NewWorkForm, refuse
from practice.repertoire.guards import open_work
from practice.repertoire.models import Work
from studio import clock
from studio.people.guards import own_student
from studio.people.models import Student
from studio.web.forms import answer, posted
from studio.web.fragments import page_or_fragment
from studio.web.http import StudioRequest
from studio.web.numbers import number_of

MOST_SHOWN: Final = 25
NEXT_SHOWN: Final = 3
LATELY: Final = 12  # pieces finished
ETUDES: Final = (Work.Kind.ETUDE, Work.Kind.METHOD)
PIECES: Final = tuple(kind for kind in Work.Kind if kind not in ETUDES)


@require_http_methods(["GET", "HEAD", "POST"])
def give(request: StudioRequest, pk: int) -> HttpResponse:
    student = own_student(request, pk)
    refused = ""
    if request.method == "POST":
        work = _chosen(request)
        try:
            changes.give_piece(student, work, clock.today(request.studio))
        except changes.Refused as error:
            refused = error.sentence
        else:
            messages.success(request, _("{work} is in hand now.").format(work=work))
            return _back(student)
    in_hand = list(student.pieces.in_hand().select_related("work"))
    new_url = reverse("repertoire:give_new", args=[pk])
    context = {"in_hand": in_hand, "refused": refused, "verb": _("Give"), "new_url": new_url}
    return _choose(request, student, "repertoire/give.html", PIECES, context, bool(refused))


@require_http_methods(["GET", "HEAD", "POST"])
def give_new(request: StudioRequest, pk: int) -> HttpResponse:
    """A piece that is not in the list: written down and given in one step."""
    student = own_student(request, pk)
    form = NewWorkForm(**posted(request), initial={"title": request.GET.get("title", "")[:160]})
    if form.is_valid():
        try:
            with transaction.atomic():
                work = form.save_for(request.studio)
                changes.give_piece(student, work, clock.today(request.studio))
        except changes.Refused as refused:
            refuse(form, refused)
        else:
            messages.success(request, _("{work} is in hand now.").format(work=work))
            return _back(student)
    context = {"form": form, "student": student, "section": "students"}
    return render(request, "repertoire/give_new.html", context, status=answer(form))


@require_http_methods(["GET", "HEAD", "POST"])
def etude(request: StudioRequest, pk: int) -> HttpResponse:
    student = own_student(request, pk)
    now = student.etudes.filter(until=None).select_related("work").first()
    today = clock.today(request.studio)
    initial = {"since": today, "lines": now.lines if now else "", "cue": now.cue if now else ""}
    form = EtudeForm(**posted(request), today=today, initial=initial)
    if form.is_valid():
        work = _chosen(request)
        try:
            changes.move_etude(student, work, *_in_order(form))
        except changes.Refused as refused:
            refuse(form, refused)
        else:
            messages.success(request, _("{work} is the etude.").format(work=work))
            return _back(student, "#etude")
    new_url = reverse("repertoire:etude_new", args=[pk])
    book = next_in_book(now.work, Work.objects.open_to(request.studio).etudes()) if now else []
    context = {
        "form": form,
        "now": now,
        "next": book[:NEXT_SHOWN],
        "verb": _("Take"),
        "new_url": new_url,
    }
    return _choose(request, student, "repertoire/etude.html", ETUDES, context, form.is_bound)


@require_http_methods(["GET", "HEAD", "POST"])
def etude_new(request: StudioRequest, pk: int) -> HttpResponse:
    """An etude or a method-book exercise that is not in the list."""
    student = own_student(request, pk)
    today = clock.today(request.studio)
    work_form = NewWorkForm(
        **posted(request),
        initial={"title": request.GET.get("title", "")[:160], "kind": Work.Kind.ETUDE},
    )
    form = EtudeForm(**posted(request), today=today, initial={"since": today})
    if all([work_form.is_valid(), form.is_valid()]):
        try:
            with transaction.atomic():
                work = work_form.save_for(request.studio)
                changes.move_etude(student, work, *_in_order(form))
        except changes.Refused as refused:
            refuse(form, refused)
        else:
            messages.success(request, _("{work} is the etude.").format(work=work))
            return _back(student, "#etude")
    context = {"form": form, "work_form": work_form, "student": student, "section": "students"}
    return render(request, "repertoire/etude_new.html", context, status=answer(form))


@require_http_methods(["GET", "HEAD", "POST"])
def favourite_add(request: StudioRequest, pk: int) -> HttpResponse:
    """The pieces finished lately first; those before stand in the repertoire below."""
    student = own_student(request, pk)
    if request.method == "POST":
        work = _chosen(request)
        changes.add_favourite(student, work, clock.today(request.studio))
        messages.success(request, _("{work} is a favourite.").format(work=work))
        return _back(student, "#favourites")
    kept = student.favourites.filter(retired=None).values("work")
    learned = student.pieces.learned().exclude(work__in=kept).select_related("work")
    context = {
        "learned": [piece.work for piece in learned.order_by("-finished")[:LATELY]],
        "verb": _("Add"),
        "new_url": reverse("repertoire:work_add"),
    }
    return _choose(request, student, "repertoire/favourite.html", PIECES, context, False)


def _choose(
    request: StudioRequest,
    student: Student,
    page: str,
    kinds: Collection[str],
    context: dict[str, Any],
    refused: bool,
) -> HttpResponse:
    """The list of works to choose from, narrowed by the search in the address."""
    works = by_difficulty(Work.objects.open_to(request.studio).filter(kind__in=kinds))
    asked = wanted(request.GET)
    found = [work for work in works if asked.fits(work)]
    context |= {
        "student": student,
        "section": "students",
        "asked": asked,
        "difficulties": DIFFICULTIES,
        "kinds": [(kind.value, kind.label) for kind in Work.Kind if kind in kinds],
        "techniques": techniques_of(works),
        "found": found[:MOST_SHOWN],
        "more": max(len(found) - MOST_SHOWN, 0),
    }
    status = 422 if refused else 200
    return page_or_fragment(request, page, "repertoire/choose_rows.html", context, status=status)


def _chosen(request: StudioRequest) -> Work:
    pk = number_of(request.POST.get("work", ""))
    if pk is None:
        raise Http404
    return open_work(request, pk)


def _in_order(form: EtudeForm) -> tuple[Any, str, str]:
    given = form.cleaned_data
    return given["since"], given["lines"], given["cue"]


def _back(student: Student, anchor: str = "") -> HttpResponse:
    return redirect(reverse("repertoire:of_student", args=[student.pk]) + anchor)
