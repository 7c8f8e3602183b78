"""Children who share a violin read on their pages when to begin, as on their sheets."""

from __future__ import annotations

import datetime as dt

import pytest
from django.test import Client
from django.urls import reverse

from practice.home.take_home import take_home_file
from practice.models import Plan
from practice.planning.types import DayIn, Routine, ScaleIn, SessionIn, WeekInputs
from practice.plans.generate import built
from practice.sheets.siblings import beside_siblings
from studio.links import tokens
from studio.models import Family, HomeLink
from tests import factories
from tests.factories import DAY

pytestmark = pytest.mark.usefixtures("frozen")


def decided(family: Family, name: str) -> Plan:
    """Twenty minutes each day; both children would begin at five o'clock."""
    week = WeekInputs(
        days=tuple(DayIn(DAY + dt.timedelta(days=number), 20) for number in range(7)),
        routine=Routine((SessionIn("After school", dt.time(17)),)),
        scale=ScaleIn(1, "G major"),
    )
    student = factories.StudentFactory.create(family=family, given_name=name)
    assignment = factories.AssignmentFactory.create(student=student, starts=DAY)
    plan = factories.PlanFactory.create(assignment=assignment, inputs=week.to_json())
    factories.ItemFactory.create(plan=plan, date=DAY, key="scale", part="scale", minutes=20)
    return plan


def page_of(token: str, plan: Plan) -> str:
    address = reverse("home:child", args=[token, plan.assignment.student_id])
    return Client().get(address).content.decode()


@pytest.mark.parametrize(("clock_24h", "later"), [(True, "17:20"), (False, "5:20 pm")])
def test_the_page_and_the_file_tell_the_times_of_the_sheet(
    family: Family, clock_24h: bool, later: str
) -> None:
    family.shares_violin = True
    family.save()
    family.studio.clock_24h = clock_24h
    family.studio.save()
    plans = [decided(family, "Ana"), decided(family, "Leo")]
    token = tokens.issue(HomeLink(opens=HomeLink.Opens.FAMILY, family=family))
    waits = [
        plan
        for plan in plans
        if beside_siblings(plan.assignment.student, built(plan)).days[0].sessions[0].start
        != dt.time(17)
    ]
    assert len(waits) == 1
    for plan in plans:
        assert (f"<b>{later}</b>" in page_of(token, plan)) == (plan in waits)
    assert f"<b>{later}</b>" in take_home_file(waits[0].assignment, DAY)


def test_nobody_else_is_told_when_to_begin(family: Family) -> None:
    plan = decided(family, "Ana")
    decided(family, "Leo")
    token = tokens.issue(HomeLink(opens=HomeLink.Opens.FAMILY, family=family))
    assert "17:" not in page_of(token, plan)
