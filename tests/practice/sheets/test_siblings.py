"""Children who share a violin: times that never overlap, on the Bench and on paper."""

from __future__ import annotations

import datetime as dt

import pytest
from pytest_django import DjangoAssertNumQueries

from practice.bench.page_form import PageForm
from practice.bench.showing import week_context
from practice.bench.state import bench_of
from practice.models import Assignment, Plan, Sheet
from practice.planning.types import DayIn, Routine, ScaleIn, SessionIn, WeekInputs, WeekPlan
from practice.planning.versions import build
from practice.plans.generate import built
from practice.sheets.freeze import freeze, sheet_of
from practice.sheets.siblings import beside_siblings
from studio.models import Family, Student
from tests import factories
from tests.factories import DAY

pytestmark = pytest.mark.django_db
THURSDAY = DAY + dt.timedelta(days=1)
FIVE = dt.time(17)


@pytest.fixture
def shared(family: Family) -> Family:
    family.shares_violin = True
    family.save()
    return family


def child(family: Family, name: str) -> Student:
    return factories.StudentFactory.create(family=family, given_name=name)


def inputs(minutes: list[int], at: dt.time | None = FIVE, first: dt.date = THURSDAY) -> WeekInputs:
    return WeekInputs(
        days=tuple(
            DayIn(first + dt.timedelta(days=n), each, off=not each)
            for n, each in enumerate(minutes)
        ),
        routine=Routine((SessionIn("After school", at),)),
        scale=ScaleIn(1, "G major"),
    )


def decided(student: Student, week: WeekInputs) -> Plan:
    assignment = factories.AssignmentFactory.create(
        student=student, starts=week.days[0].date, minutes=[day.minutes for day in week.days]
    )
    return factories.PlanFactory.create(assignment=assignment, inputs=week.to_json())


def starts(plan: WeekPlan) -> list[str]:
    return [f"{s.start:%H:%M}" if s.start else "" for day in plan.days for s in day.sessions]


def test_two_children_with_one_violin_take_turns(shared: Family) -> None:
    """Both wish for five o'clock; Ana plays 20 minutes, Leo 15. Told as a table of one week."""
    ana, leo = child(shared, "Ana"), child(shared, "Leo")
    ana_plan, leo_plan = decided(ana, inputs([20] * 7)), decided(leo, inputs([15] * 7))
    anas = beside_siblings(ana, built(ana_plan))
    leos = beside_siblings(leo, built(leo_plan))
    table = [
        (f"{day.date:%a}", one, two)
        for day, one, two in zip(anas.days, starts(anas), starts(leos), strict=True)
    ]
    assert table == [
        ("Thu", "17:00", "17:20"),
        ("Fri", "17:15", "17:00"),
        ("Sat", "17:00", "17:20"),
        ("Sun", "17:15", "17:00"),
        ("Mon", "17:00", "17:20"),
        ("Tue", "17:15", "17:00"),
        ("Wed", "17:00", "17:20"),
    ]
    assert anas.unmet == leos.unmet == ()


def test_weeks_that_begin_on_other_days_meet_by_their_dates(shared: Family) -> None:
    ana, leo = child(shared, "Ana"), child(shared, "Leo")
    decided(leo, inputs([15] * 7, first=THURSDAY - dt.timedelta(days=5)))
    plan = beside_siblings(ana, build(inputs([20] * 7)))
    # Leo's week has the first two of these days, and on Friday he is first.
    assert starts(plan) == ["17:00", "17:15", *["17:00"] * 5]


def test_of_two_weeks_that_overlap_the_later_one_counts(shared: Family) -> None:
    ana, leo = child(shared, "Ana"), child(shared, "Leo")
    decided(leo, inputs([60] * 7, first=THURSDAY - dt.timedelta(days=3)))
    decided(leo, inputs([15] * 7))
    plan = beside_siblings(ana, build(inputs([20] * 7)))
    assert starts(plan)[1] == "17:15"


def test_an_hour_too_short_for_both_is_named_on_both(shared: Family) -> None:
    shared.shared_until = dt.time(17, 30)
    shared.save()
    ana, leo = child(shared, "Ana"), child(shared, "Leo")
    plans = [decided(ana, inputs([20])), decided(leo, inputs([15]))]
    sentence = "The time shared on Thursday ends at 17:30: Leo needs 5 minutes more."
    for student, plan in zip((ana, leo), plans, strict=True):
        assert beside_siblings(student, built(plan)).unmet == (sentence,)


def test_a_session_without_a_time_begins_with_the_shared_time(shared: Family) -> None:
    ana = child(shared, "Ana")
    week = build(inputs([20], at=None))
    assert beside_siblings(ana, week).unmet == (
        "There is no time of its own for Ana's “After school” on Thursday.",
    )
    shared.shared_from = dt.time(16, 30)
    shared.save()
    ana.family.refresh_from_db()
    assert starts(beside_siblings(ana, week)) == ["16:30"]


def test_who_shares_nothing_or_has_left_moves_nobody(
    family: Family, shared: Family, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    ana, leo = child(shared, "Ana"), child(shared, "Leo")
    decided(leo, inputs([15] * 7))
    plan = build(inputs([20] * 7))
    leo.leave(DAY)
    assert starts(beside_siblings(ana, plan)) == ["17:00"] * 7
    leo.come_back()
    assert starts(beside_siblings(ana, plan)) != ["17:00"] * 7
    ana.family.shares_violin = False
    with django_assert_num_queries(0):
        assert beside_siblings(ana, plan) is plan


def test_the_paper_names_the_times_and_later_changes_are_told(shared: Family) -> None:
    ana, leo = child(shared, "Ana"), child(shared, "Leo")
    plan = decided(ana, inputs([20, 20, 0, 20]))
    sheet = freeze(plan, sheet_of(plan.assignment))
    assert sheet.data["sessions"][0]["starts"] == ["17:00", "17:00", "", "17:00"]
    beside = beside_siblings(leo, build(inputs([15] * 4)))
    assert starts(beside) == ["17:20", "17:00", "17:00", "17:00"]
    assert beside.unmet == (
        "Ana's printed sheet has other times on Friday and Sunday: print it again.",
    )
    decided(leo, inputs([15] * 4))
    freeze(plan, sheet_of(plan.assignment))
    assert Sheet.objects.count() == 2
    assert beside_siblings(leo, build(inputs([15] * 4))).unmet == ()


def test_other_families_sheets_have_no_times(family: Family) -> None:
    plan = decided(child(family, "Ana"), inputs([20]))
    assert sheet_of(plan.assignment).sessions[0].starts == ()


@pytest.mark.parametrize(("clock_24h", "at"), [(True, "17:20"), (False, "5:20 pm")])
def test_the_bench_shows_them_by_the_studios_clock(
    shared: Family, clock_24h: bool, at: str
) -> None:
    shared.studio.clock_24h = clock_24h
    shared.studio.save()
    ana, leo = child(shared, "Ana"), child(shared, "Leo")
    leo.session_1_starts = FIVE
    leo.save()
    factories.ScaleInHandFactory.create(student=leo)
    Assignment.objects.all().delete()
    decided(ana, inputs([20] * 7, first=DAY))
    view = week_context(PageForm(bench_of(Student.objects.get(pk=leo.pk), DAY)))["view"]
    assert at in view.sessions[0].starts


def test_more_children_and_weeks_need_no_more_queries(
    shared: Family, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    ana = child(shared, "Ana")
    plan = build(inputs([20] * 7))
    for name in ("Leo", "Mia", "Noa"):
        decided(child(shared, name), inputs([15] * 7))
    with django_assert_num_queries(3):
        beside_siblings(ana, plan)
