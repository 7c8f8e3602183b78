"""A whole day: its lessons to mark, a day off, the bank of make-ups, a single lesson more."""

from __future__ import annotations

import datetime as dt

from django.contrib import messages
from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_GET, require_http_methods

from studio import clock
from studio.lessons import changes
from studio.lessons.booking import Refused
from studio.lessons.calendar_views import SECTION, day_of
from studio.lessons.change_views import GET_OR_POST
from studio.lessons.days_off import day_off, snow_day
from studio.lessons.forms import DayOffForm, SingleForm
from studio.lessons.free_times import free_days
from studio.lessons.models import Lesson, LessonRules
from studio.lessons.rules_form import RulesForm
from studio.record.models import What
from studio.record.noting import note
from studio.web.days import in_words
from studio.web.forms import answer, posted
from studio.web.http import StudioRequest


@require_GET
def day(request: StudioRequest, year: int, month: int, day: int) -> HttpResponse:
    date = day_of(year, month, day)
    return _day_page(request, date, DayOffForm())


def _day_page(request: StudioRequest, date: dt.date, form: DayOffForm) -> HttpResponse:
    lessons = list(
        Lesson.objects.of(request.studio)
        .filter(date=date)
        .select_related("student", "makes_up")
        .order_by("starts", "pk")
    )
    today = clock.today(request.studio)
    context = {
        "date": date,
        "today": today,
        "lessons": lessons,
        "planned": sum(lesson.status == Lesson.Status.PLANNED for lesson in lessons),
        "has_come": date <= today,
        "before": date - dt.timedelta(days=1),
        "after": date + dt.timedelta(days=1),
        "form": form,
        **SECTION,
    }
    return render(request, "lessons/day.html", context, status=answer(form))


@require_http_methods(["POST"])
def off(request: StudioRequest, year: int, month: int, day: int) -> HttpResponse:
    """Cancel what is planned on the day: the teacher is ill, or nobody can come."""
    date = day_of(year, month, day)
    form = DayOffForm(**posted(request))
    if not form.is_valid():
        return _day_page(request, date, form)
    chosen, now = form.cleaned_data, clock.now()
    if chosen["why"] == "closed":
        name = chosen["name"] or _("Closed")
        lost = snow_day(request.studio, date, now, name, owed=chosen["owed"])
    else:
        lost = day_off(request.studio, date, now, from_time=chosen["from_time"])
    words = ngettext(
        "{n} lesson of {day} is cancelled.", "{n} lessons of {day} are cancelled.", len(lost)
    )
    messages.success(request, words.format(n=len(lost), day=in_words(date, "j F")))
    return redirect("lessons:day", date.year, date.month, date.day)


@require_GET
def make_ups(request: StudioRequest) -> HttpResponse:
    """The bank: who is owed a make-up, and until when; and those that have their day."""
    today = clock.today(request.studio)
    owed = Lesson.objects.make_ups_owed(request.studio, today).select_related("student")
    placed = (
        Lesson.objects.of(request.studio)
        .filter(status=Lesson.Status.PLANNED, date__gte=today)
        .exclude(makes_up=None)
        .select_related("student", "makes_up")
    )
    context = {"owed": owed, "placed": placed, "today": today, "room": "make-ups", **SECTION}
    return render(request, "lessons/make_ups.html", context)


@require_http_methods(GET_OR_POST)
def add(request: StudioRequest) -> HttpResponse:
    today = clock.today(request.studio)
    initial = {
        "day": request.GET.get("day") or today,
        "minutes": 30,
        "student": request.GET.get("student"),
    }
    form = SingleForm(**posted(request), studio=request.studio, initial=initial)
    if form.is_valid():
        try:
            lesson = changes.add_single(form.cleaned_data["student"], form.when)
        except Refused as reason:
            form.add_error(None, str(reason))
        else:
            words = _("{name} has one lesson more.")
            messages.success(request, words.format(name=lesson.student.given_name))
            return redirect("lessons:lesson", lesson.pk)
    days = free_days(request.studio, today, clock.now(), minutes=30, place="")
    context = {"form": form, "days": days, "go": _("Add to this day and time"), **SECTION}
    return render(request, "lessons/when.html", context, status=answer(form))


@require_http_methods(GET_OR_POST)
def rules(request: StudioRequest) -> HttpResponse:
    form = RulesForm(**posted(request), instance=LessonRules.of(request.studio))
    if form.is_valid():
        with transaction.atomic():
            form.save()
            note(request, What.SETTINGS_CHANGED, _("rules of lessons"))
        messages.success(request, _("Your rules are saved. Lessons already cancelled keep theirs."))
        return redirect("lessons:calendar")
    return render(
        request,
        "lessons/rules.html",
        {"form": form, "room": "rules", **SECTION},
        status=answer(form),
    )
