"""How it stands, on demand: inside a row of the Bench, or as a page of its own."""

from __future__ import annotations

import datetime as dt
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from practice.bench.heard import HeardForm
from practice.bench.stands import lesson_to_hear, pieces_standing, scale_standing
from studio import clock
from studio.people.guards import own_student
from studio.people.models import Student
from studio.web.forms import answer
from studio.web.fragments import wants_fragment
from studio.web.http import StudioRequest
from studio.web.numbers import number_of


@require_safe
def stands(request: StudioRequest, pk: int) -> HttpResponse:
    """`of` is "scale" or the id of a piece in hand: then htmx gets that part alone."""
    student, today = own_student(request, pk), clock.today(request.studio)
    of = request.GET.get("of", "")
    if not wants_fragment(request) or not of:
        return _page(request, student, today, _heard_form(student, today))
    if of == "scale":
        return _scale_part(request, student, today, _heard_form(student, today))
    piece = number_of(of)
    found = () if piece is None else pieces_standing(student, today, piece)
    if not found:
        raise Http404
    return render(request, "bench/stands_piece.html", {"standing": found[0]})


@require_POST
def heard(request: StudioRequest, pk: int) -> HttpResponse:
    """Notes what was heard at the latest lesson."""
    student, today = own_student(request, pk), clock.today(request.studio)
    form = _heard_form(student, today, data=request.POST, files=request.FILES)
    if form is None:
        raise Http404
    kept = form.is_valid()
    if kept:
        form.save()
    if not wants_fragment(request):
        if not kept:
            return _page(request, student, today, form)
        messages.success(request, _("What you heard is noted."))
        return redirect("bench-stands", student.pk)
    fresh = _heard_form(student, today) if kept else form
    return _scale_part(request, student, today, fresh, noted=kept)


def _heard_form(student: Student, today: dt.date, **posted: Any) -> HeardForm | None:
    """None without a lesson to hear or without a scale."""
    lesson = lesson_to_hear(student, today)
    scale = student.scales.filter(until=None).first()
    return HeardForm(lesson=lesson, scale=scale, **posted) if lesson and scale else None


def _scale_part(
    request: StudioRequest,
    student: Student,
    today: dt.date,
    form: HeardForm | None,
    *,
    noted: bool = False,
) -> HttpResponse:
    context = {"standing": scale_standing(student, today), "form": form, "noted": noted}
    return render(request, "bench/stands_scale.html", context, status=answer(form) if form else 200)


def _page(
    request: StudioRequest, student: Student, today: dt.date, form: HeardForm | None
) -> HttpResponse:
    context = {
        "student": student,
        "scale": scale_standing(student, today),
        "pieces": pieces_standing(student, today),
        "form": form,
        "section": "students",
    }
    return render(request, "bench/stands.html", context, status=answer(form) if form else 200)
