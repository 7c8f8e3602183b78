"""A student's repertoire page, and the one way in which buttons on it change something."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from practice.repertoire.changes import Refused
from practice.repertoire.in_hand import pieces_in_hand
from practice.repertoire.models import PieceInHand, Spot
from studio import clock
from studio.people.models import Student
from studio.web.http import StudioRequest
from studio.web.lately import lately

STAGES = [(stage.value, stage.label) for stage in PieceInHand.IN_HAND]
LATELY = 12  # of each kind that was in hand before, unless all is asked for
STATES = [(state.value, state.label) for state in Spot.State if state != Spot.State.SOLVED]


def repertoire_page(request: StudioRequest, student: Student, refused: str = "") -> HttpResponse:
    """Everything in hand with its verbs; `refused` is the sentence of a change that was not."""
    today = clock.today(request.studio)
    pieces = list(pieces_in_hand().filter(student=student))
    gone = student.pieces.exclude(finished=None).select_related("work")
    before, more = lately(request, gone.order_by("-finished", "-pk"), LATELY)
    scales, more_scales = lately(request, student.scales.exclude(until=None), LATELY)
    studied = student.etudes.exclude(until=None).select_related("work")
    etudes, more_etudes = lately(request, studied, LATELY)
    solved = Spot.objects.filter(piece__in=pieces, state=Spot.State.SOLVED)
    scale = student.scales.filter(until=None).first()
    etude = student.etudes.filter(until=None).select_related("work").first()
    context = {
        "student": student,
        "section": "students",
        "refused": refused,
        "pieces": pieces,
        "solved": solved.order_by("-solved", "first_bar").select_related("piece__work"),
        "stages": STAGES,
        "states": STATES,
        "scale": scale,
        "scale_weeks": weeks_since(scale.since, today) if scale else "",
        "etude": etude,
        "etude_weeks": weeks_since(etude.since, today) if etude else "",
        "favourites": student.favourites.filter(retired=None).select_related("work"),
        "gone": before,
        "more": more or more_scales or more_etudes,
        "scales": scales,
        "etudes": etudes,
    }
    status = 422 if refused else 200
    return render(request, "repertoire/student.html", context, status=status)


def change(
    request: StudioRequest,
    student: Student,
    what: Callable[[], object],
    done: str,
    anchor: str = "",
) -> HttpResponse:
    """Makes the change and goes back to the page, or shows the page with the refusal on top."""
    try:
        what()
    except Refused as refused:
        return repertoire_page(request, student, refused.sentence)
    messages.success(request, done)
    return redirect(reverse("repertoire:of_student", args=[student.pk]) + anchor)


def weeks_since(day: dt.date, today: dt.date) -> str:
    """ "this week", "1 week", "6 weeks": begun weeks are not counted."""
    weeks = max((today - day).days, 0) // 7
    if weeks == 0:
        return _("new this week")
    return ngettext("{n} week", "{n} weeks", weeks).format(n=weeks)
