"""The roster, a student's own page, and what changes a student."""

from __future__ import annotations

from typing import Final

from django.contrib import messages
from django.db.models import Count
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext, pgettext_lazy
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from studio import clock
from studio.people.forms import LeaveForm, StudentForm
from studio.people.guards import own_student
from studio.people.models import Student, StudentQuerySet
from studio.web.forms import answer, posted
from studio.web.fragments import page_or_fragment
from studio.web.http import StudioRequest
from studio.web.search import folded, typed_words

SHOWN: Final = {
    Student.Status.LEARNING.value: pgettext_lazy("students", "Learning"),
    Student.Status.PAUSED.value: pgettext_lazy("students", "Paused"),
    Student.Status.LEFT.value: pgettext_lazy("students", "Left"),
    "all": pgettext_lazy("students", "All"),
}
NEXT_LESSONS: Final = 3


@require_GET
def students(request: StudioRequest) -> HttpResponse:
    """The roster: a status filter, and a search over students, families and guardians."""
    show = request.GET.get("show", "")
    if show not in SHOWN:
        show = Student.Status.LEARNING.value
    words = typed_words(request.GET.get("q"))
    everyone = Student.objects.of(request.studio)
    matching = everyone.named_like(words)
    found = matching if show == "all" else matching.filter(status=show)
    rows = sorted(
        found.select_related("family").prefetch_related("slots"),
        key=lambda student: folded(student.full_name),
    )
    context = {
        "rows": rows,
        "words": words,
        "show": show,
        "filters": _filters(everyone, show),
        "elsewhere": matching.count() - len(rows) if words and show != "all" else 0,
        "today": clock.today(request.studio),
    }
    return page_or_fragment(request, "people/students.html", "people/students_rows.html", context)


def _filters(everyone: StudentQuerySet, show: str) -> list[dict[str, object]]:
    """What can be shown, how many that are, and which is on."""
    by_status = dict(everyone.order_by().values_list("status").annotate(Count("pk")))
    by_status["all"] = sum(by_status.values())
    return [
        {"value": value, "label": label, "count": by_status.get(value, 0), "on": value == show}
        for value, label in SHOWN.items()
    ]


@require_GET
def student(request: StudioRequest, pk: int) -> HttpResponse:
    """The student's own page, from which everything about one student is reached."""
    return _student_page(request, own_student(request, pk))


def _student_page(
    request: StudioRequest, student: Student, leave: LeaveForm | None = None
) -> HttpResponse:
    today = clock.today(request.studio)
    leave_form = leave or LeaveForm(student=student, today=today, initial={"day": today})
    coming = student.lessons.filter(date__gte=today, status="planned")
    context = {
        "student": student,
        "age": student.age_on(today),
        "today": today,
        "guardians": student.family.guardians.all(),
        "siblings": student.family.students.exclude(pk=student.pk),
        "slots": student.slots.all(),
        "lessons": coming.order_by("date", "starts")[:NEXT_LESSONS],
        "leave_form": leave_form,
    }
    return render(request, "people/student.html", context, status=answer(leave_form))


@require_http_methods(["GET", "HEAD", "POST"])
def student_edit(request: StudioRequest, pk: int) -> HttpResponse:
    student = own_student(request, pk)
    name = student.full_name
    form = StudentForm(
        **posted(request),
        instance=student,
        today=clock.today(request.studio),
        week_start=request.studio.week_start,
    )
    if form.is_valid():
        form.save()
        messages.success(request, gettext("{name} is saved.").format(name=student.full_name))
        return redirect("people:student", student.pk)
    context = {"form": form, "student": student, "name": name}
    return render(request, "people/student_edit.html", context, status=answer(form))


@require_POST
def student_pause(request: StudioRequest, pk: int) -> HttpResponse:
    student = own_student(request, pk)
    student.pause()
    said = gettext("{name} is paused. Everything in hand waits.")
    messages.success(request, said.format(name=student.given_name))
    _tell_of_standing_slots(request, student)
    return redirect("people:student", student.pk)


@require_POST
def student_come_back(request: StudioRequest, pk: int) -> HttpResponse:
    student = own_student(request, pk)
    student.come_back()
    said = gettext("{name} comes to lessons again.")
    messages.success(request, said.format(name=student.given_name))
    return redirect("people:student", student.pk)


@require_POST
def student_leave(request: StudioRequest, pk: int) -> HttpResponse:
    student = own_student(request, pk)
    form = LeaveForm(**posted(request), student=student, today=clock.today(request.studio))
    if not form.is_valid():
        return _student_page(request, student, form)
    student.leave(form.cleaned_data["day"])
    said = gettext("{name} has left. Nothing is deleted.")
    messages.success(request, said.format(name=student.given_name))
    _tell_of_standing_slots(request, student)
    return redirect("people:student", student.pk)


def _tell_of_standing_slots(request: StudioRequest, student: Student) -> None:
    """Lessons are the calendar's; whoever ends them must be told that they still stand."""
    today = clock.today(request.studio)
    if student.slots.exclude(last_day__lt=today).exists():
        said = gettext("{name}’s weekly lesson time still stands. End it in the calendar.")
        messages.warning(request, said.format(name=student.given_name))
