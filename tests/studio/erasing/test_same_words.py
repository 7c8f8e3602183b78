"""Rows of the same words are looked at once, counted each, and lose the name each."""

from __future__ import annotations

import datetime as dt

import pytest

from studio.erasing import erase
from studio.models import Student
from tests.factories import AssignmentFactory, ItemFactory, PlanFactory, StudentFactory


@pytest.mark.usefixtures("frozen")
def test_rows_with_the_same_words_count_each_and_lose_the_name_each(student: Student) -> None:
    neighbour = StudentFactory.create(family__studio=student.family.studio, given_name="Zola")
    plan = PlanFactory.create(assignment=AssignmentFactory.create(student=neighbour))
    for day, title in enumerate(("Duo, Imani", "Duo, Imani", "Duo", "Duo, Imani")):
        ItemFactory.create(
            plan=plan, date=plan.assignment.starts + dt.timedelta(days=day), title=title
        )
    (trace,) = [each for each in erase.traces_of(student.family) if each.term == "Imani"]
    assert (trace.places, trace.examples) == (3, ["Duo, Imani"])
    erase.erase(student.family, keep_ledger=False, take_out=["Imani"])
    titles = list(plan.items.order_by("date").values_list("title", flat=True))
    assert titles == ["Duo, …", "Duo, …", "Duo", "Duo, …"]
