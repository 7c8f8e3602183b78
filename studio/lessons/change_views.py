"""One lesson's page, and an address for each thing that can happen to it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.http import url_has_allowed_host_and_scheme
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from studio import clock
from studio.lessons import changes
from studio.lessons.booking import Refused, instant, together
from studio.lessons.forms import CancelForm, SwapForm, WhenForm
from studio.lessons.free_times import free_days
from studio.lessons.guards import own_lesson
from studio.lessons.models import Lesson, LessonRules
from studio.web.days import named_day
from studio.web.forms import answer, posted
from studio.web.http import StudioRequest

SWAP_REACH = dt.timedelta(days=8)
GET_OR_POST = ["GET", "HEAD", "POST"]


def sharing(lesson: Lesson) -> list[str]:
    """Given names of the siblings who share this lesson."""
    return [row.student.given_name for row in together(lesson) if row.pk != lesson.pk]


@require_GET
def lesson(request: StudioRequest, pk: int) -> HttpResponse:
    return _lesson_page(request, own_lesson(request, pk))


def _lesson_page(
    request: StudioRequest, lesson: Lesson, form: CancelForm | None = None
) -> HttpResponse:
    now, today = clock.now(), clock.today(request.studio)
    rules = LessonRules.of(request.studio)
    shared = sharing(lesson)
    begins = instant(request.studio, lesson.date, lesson.starts)
    if form is None:
        form = CancelForm(sharing=shared, initial={"with_siblings": True})
    context = {
        "lesson": lesson,
        "sharing": shared,
        "form": form,
        "rules": rules,
        "in_time": begins - now >= dt.timedelta(hours=rules.notice_hours),
        "has_come": lesson.date <= today,
        "make_up": Lesson.objects.filter(makes_up=lesson).first(),
        "expired": lesson.make_up_until is not None and lesson.make_up_until < today,
        "section": "calendar",
    }
    return render(request, "lessons/lesson.html", context, status=answer(form))


def _back(request: StudioRequest, lesson: Lesson) -> HttpResponse:
    """To the page named by `next`, if it is ours, or to the lesson's own."""
    page = request.POST.get("next", "")
    if page.startswith("/") and url_has_allowed_host_and_scheme(page, allowed_hosts=None):
        return redirect(page)
    return redirect("lessons:lesson", lesson.pk)


def _done(
    request: StudioRequest, pk: int, change: Callable[[Lesson], Lesson], words: str
) -> HttpResponse:
    """A change that needs no form: do it, say so, go back; a refusal is said the same way."""
    lesson = own_lesson(request, pk)
    try:
        lesson = change(lesson)
    except Refused as reason:
        messages.error(request, str(reason))
    else:
        messages.success(request, words.format(name=lesson.student.given_name))
    return _back(request, lesson)


@require_POST
def keep(request: StudioRequest, pk: int) -> HttpResponse:
    today = clock.today(request.studio)
    return _done(request, pk, lambda one: changes.keep(one, today), _("{name}’s lesson is kept."))


@require_POST
def miss(request: StudioRequest, pk: int) -> HttpResponse:
    today = clock.today(request.studio)
    return _done(request, pk, lambda one: changes.miss(one, today), _("{name} missed the lesson."))


@require_POST
def plan_again(request: StudioRequest, pk: int) -> HttpResponse:
    return _done(request, pk, changes.plan_again, _("{name}’s lesson is planned again."))


@require_POST
def let_go(request: StudioRequest, pk: int) -> HttpResponse:
    return _done(request, pk, changes.let_go, _("{name} is owed no make-up for this lesson."))


@require_POST
def grant(request: StudioRequest, pk: int) -> HttpResponse:
    return _done(request, pk, changes.grant, _("{name} is owed a make-up for this lesson."))


@require_POST
def cancel(request: StudioRequest, pk: int) -> HttpResponse:
    lesson = own_lesson(request, pk)
    form = CancelForm(**posted(request), sharing=sharing(lesson))
    if not form.is_valid():
        return _lesson_page(request, lesson, form)
    by: changes.By = "teacher" if form.cleaned_data["by"] == "teacher" else "family"
    try:
        lost = changes.cancel(
            lesson, by, clock.now(), with_siblings=form.cleaned_data.get("with_siblings", False)
        )
    except Refused as reason:
        messages.error(request, str(reason))
        return _back(request, lesson)
    words = (
        _("{name}’s lesson is cancelled. A make-up is owed.")
        if lost[0].make_up_owed
        else _("{name}’s lesson is cancelled. No make-up is owed.")
    )
    messages.success(request, words.format(name=lesson.student.given_name))
    return _back(request, lesson)


@require_http_methods(GET_OR_POST)
def move(request: StudioRequest, pk: int) -> HttpResponse:
    lesson = own_lesson(request, pk)
    shared = sharing(lesson)
    form = WhenForm(**posted(request), sharing=shared, initial=_when_initial(request, lesson))
    if form.is_valid():
        both = form.cleaned_data.get("with_siblings", False)
        try:
            moved = changes.move(lesson, form.when, with_siblings=both)[0]
        except Refused as reason:
            form.add_error(None, str(reason))
        else:
            words = _("{name}’s lesson is on {day}. Calendars are told.")
            messages.success(
                request, words.format(name=moved.student.given_name, day=named_day(moved.date))
            )
            return _back(request, moved)
    context = {"lesson": lesson, "sharing": shared, "go": _("Move to this day and time")}
    return _when_page(request, form, lesson, context, without=together(lesson))


@require_http_methods(GET_OR_POST)
def make_up(request: StudioRequest, pk: int) -> HttpResponse:
    lost = own_lesson(request, pk)
    form = WhenForm(**posted(request), initial={**_when_initial(request, lost), "day": None})
    if form.is_valid():
        try:
            made = changes.make_up(lost, form.when, clock.today(request.studio))
        except Refused as reason:
            form.add_error(None, str(reason))
        else:
            words = _("{name}’s make-up is on {day}. Calendars are told.")
            messages.success(
                request, words.format(name=made.student.given_name, day=named_day(made.date))
            )
            return redirect("lessons:lesson", made.pk)
    context = {"lesson": lost, "lost": lost, "go": _("Place to this day and time")}
    return _when_page(request, form, lost, context, until=lost.make_up_until)


def _when_initial(request: StudioRequest, lesson: Lesson) -> dict[str, Any]:
    """Where the lesson is now, or where it was dropped on the week page."""
    return {
        "day": request.GET.get("day") or lesson.date,
        "starts": request.GET.get("starts") or lesson.starts,
        "minutes": lesson.minutes,
        "place": lesson.place,
        "link": lesson.link,
        "with_siblings": True,
    }


def _when_page(
    request: StudioRequest,
    form: WhenForm,
    lesson: Lesson,
    context: dict[str, Any],
    *,
    without: list[Lesson] | None = None,
    until: dt.date | None = None,
) -> HttpResponse:
    today = clock.today(request.studio)
    first = max(today, lesson.date - dt.timedelta(days=3)) if without else today
    context["days"] = free_days(
        request.studio,
        first,
        clock.now(),
        minutes=lesson.minutes,
        place=lesson.where(),
        without=without or (),
        until=until,
    )
    context |= {"form": form, "section": "calendar"}
    return render(request, "lessons/when.html", context, status=answer(form))


@require_http_methods(GET_OR_POST)
def swap(request: StudioRequest, pk: int) -> HttpResponse:
    lesson = own_lesson(request, pk)
    today = clock.today(request.studio)
    others = (
        Lesson.objects.of(request.studio)
        .filter(status=Lesson.Status.PLANNED)
        .within(max(today, lesson.date - SWAP_REACH), max(today, lesson.date) + SWAP_REACH)
        .exclude(student__family=lesson.student.family_id)
        .select_related("student__family__studio")
    )
    form = SwapForm(**posted(request), choices=others)
    if form.is_valid():
        other = form.cleaned_data["other"]
        try:
            changes.swap(lesson, other)
        except Refused as reason:
            form.add_error(None, str(reason))
        else:
            words = _("{one} and {other} have swapped. Both calendars are told.")
            messages.success(
                request,
                words.format(one=lesson.student.given_name, other=other.student.given_name),
            )
            return redirect("lessons:lesson", lesson.pk)
    context = {"lesson": lesson, "form": form, "others": others, "section": "calendar"}
    return render(request, "lessons/swap.html", context, status=answer(form))
