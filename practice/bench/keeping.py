"""Saving a Bench: the decision, the assignment and the week, in one transaction."""

from __future__ import annotations

from django.db import transaction

from practice.bench.decision import keep
from practice.bench.page_form import PageForm
from practice.planning import codec
from practice.plans.generate import store, week_inputs
from practice.plans.hand import hand_of
from practice.plans.models import Assignment
from practice.sheets.data import Code
from practice.sheets.freeze import freeze, sheet_of
from studio import clock


@transaction.atomic
def keep_page(page: PageForm) -> Assignment:
    """Writes down a valid page. Raises `Refused` with a sentence; then nothing is changed."""
    bench = page.bench
    keep(bench.student, page.decision(), bench.today)
    wanted = page.wanted()
    assignment = bench.assignment or Assignment(student=bench.student, starts=bench.week.starts)
    if assignment.pk:
        assignment.revision += 1
    assignment.lesson = bench.week.lesson or assignment.lesson
    assignment.minutes = list(wanted.minutes)
    assignment.listen_for = page.week.cleaned_data["listen_for"]
    assignment.to_check = page.week.cleaned_data["to_check"]
    assignment.favourite = page.week.cleaned_data["favourite"]
    assignment.idea = wanted.idea
    assignment.pins = codec.to_json(wanted.pins)
    assignment.save()
    hand = hand_of(bench.student)
    inputs = week_inputs(bench.student, bench.week, hand, wanted, bench.past)
    assignment.plan = store(assignment, inputs, hand, wanted.idea)
    return assignment


@transaction.atomic
def print_page(page: PageForm, codes: tuple[Code, ...] = ()) -> Assignment:
    """Keeps the page and freezes its sheet, with the codes that a phone can open."""
    assignment = keep_page(page)
    freeze(assignment.plan, sheet_of(assignment, codes))
    assignment.printed = clock.now()
    assignment.save(update_fields=["printed"])
    return assignment
