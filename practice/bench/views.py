"""The Bench: next week decided on one page, shown as it will print, kept in one tap."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from django.contrib import messages
from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from practice.bench.keeping import keep_page, print_page
from practice.bench.meanwhile import Difference, caught_up, differences, packed
from practice.bench.page_form import PageForm, Problem
from practice.bench.showing import page_context, week_context
from practice.bench.state import Bench, bench_of
from practice.home.sheet_code import sheet_codes
from practice.plans.models import Assignment
from practice.repertoire.changes import Refused
from studio import clock
from studio.people.guards import own_student
from studio.people.models import Student
from studio.web.fragments import wants_fragment
from studio.web.http import StudioRequest

CONFLICT, UNFIT = 409, 422


@dataclass
class Trouble:
    """Why a posted page was not kept."""

    problems: Sequence[Problem] = ()
    meanwhile: Sequence[Difference] = ()
    fields: dict[str, object] = field(default_factory=dict)

    @property
    def status(self) -> int:
        return CONFLICT if self.meanwhile else UNFIT if self.problems else 200


@require_GET
def bench(request: StudioRequest, pk: int) -> HttpResponse:
    state = _state(request, pk)
    return _page(request, PageForm(state))


@require_POST
def preview(request: StudioRequest, pk: int) -> HttpResponse:
    """The week as it would be. Writes nothing; without script it is the whole page again."""
    page = PageForm(_state(request, pk), request.POST, request.FILES)
    trouble = Trouble() if page.is_valid() else Trouble(page.problems)
    if not wants_fragment(request):
        return _page(request, page, trouble, seen=request.POST.get("seen", ""))
    context = week_context(page) | {"trouble": trouble, "answering": True}
    return render(request, "bench/answer.html", context, status=trouble.status)


@require_http_methods(["GET", "POST"])
def save(request: StudioRequest, pk: int) -> HttpResponse:
    if request.method == "GET":  # the address a refused page leaves in the bar
        return redirect("bench", own_student(request, pk).pk)
    return _kept(request, pk, keep_page, _saved)


@require_http_methods(["GET", "POST"])
def print_sheet(request: StudioRequest, pk: int) -> HttpResponse:
    if request.method == "GET":
        return redirect("bench", own_student(request, pk).pk)

    def keeping(page: PageForm) -> Assignment:
        return print_page(page, sheet_codes(request, page.bench.student))

    return _kept(request, pk, keeping, _printed)


def _state(request: StudioRequest, pk: int) -> Bench:
    return bench_of(own_student(request, pk), clock.today(request.studio))


def _kept(
    request: StudioRequest,
    pk: int,
    keeping: Callable[[PageForm], Assignment],
    answer: Callable[[StudioRequest, Assignment], HttpResponse],
) -> HttpResponse:
    """One save after the other: the student's row is locked while the page is compared."""
    with transaction.atomic():
        Student.objects.select_for_update().filter(pk=pk).first()
        state = _state(request, pk)
        page = PageForm(state, request.POST, request.FILES)
        meanwhile = differences(request.POST, page)
        if meanwhile:
            newer = PageForm(state, caught_up(request.POST, page), request.FILES)
            newer.is_valid()
            return _page(request, newer, Trouble(newer.problems, meanwhile))
        if not page.is_valid():
            trouble = Trouble(page.problems)
            return _page(request, page, trouble, seen=request.POST.get("seen", ""))
        try:
            assignment = keeping(page)
        except Refused as refused:
            problem = Problem("", refused.sentence, "main")
            return _page(request, page, Trouble([problem]), seen=request.POST.get("seen", ""))
    return answer(request, assignment)


def _saved(request: StudioRequest, assignment: Assignment) -> HttpResponse:
    said = _("Saved. {name}’s week is decided.")
    messages.success(request, said.format(name=assignment.student.given_name))
    return redirect("bench", assignment.student_id)


def _printed(request: StudioRequest, assignment: Assignment) -> HttpResponse:
    return redirect("sheet-pdf", assignment.pk)


def _page(
    request: StudioRequest, page: PageForm, trouble: Trouble | None = None, seen: str = ""
) -> HttpResponse:
    trouble = trouble or Trouble()
    context = page_context(page) | week_context(page)
    context |= {"trouble": trouble, "seen": seen or packed(page), "section": "students"}
    return render(request, "bench/bench.html", context, status=trouble.status)
