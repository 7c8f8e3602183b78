"""When sessions begin, and two children who share a violin or an hour."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from practice.planning.starts import SharedTime, apart
from practice.planning.types import Routine, SessionIn, WeekInputs, WeekPlan
from practice.planning.versions import build
from tests.pure.planning.strategies import weeks
from tests.pure.planning.weeks import MINUET, THURSDAY, week

AT_FIVE = Routine((SessionIn("After school", dt.time(17)),))
shared_times = st.builds(
    SharedTime,
    st.none() | st.sampled_from((dt.time(16), dt.time(17, 30), dt.time(23, 30))),
    st.none() | st.sampled_from((dt.time(18), dt.time(23, 45))),
)


def spans(plans: tuple[WeekPlan, ...]) -> list[tuple[dt.datetime, dt.datetime]]:
    return sorted(
        (begin, begin + dt.timedelta(minutes=session.clock_minutes))
        for plan in plans
        for day in plan.days
        for session in day.sessions
        if session.start is not None
        for begin in [dt.datetime.combine(day.date, session.start)]
    )


@given(weeks(), weeks(), shared_times)
def test_no_two_sessions_overlap(one: WeekInputs, two: WeekInputs, shared: SharedTime) -> None:
    before = (build(one), build(two))
    after = apart([("Ana", before[0]), ("Leo", before[1])], shared)
    for (_, end), (begin, _) in pairwise(spans(after)):
        assert end <= begin
    for old, new in zip(before, after, strict=True):
        assert [day.items for day in old.days] == [day.items for day in new.days]
        missing = [s for day in new.days for s in day.sessions if s.start is None]
        assert len(new.unmet) - len(old.unmet) >= len(missing)


@given(weeks())
def test_sessions_of_one_student_follow_each_other(inputs: WeekInputs) -> None:
    for (_, end), (begin, _) in pairwise(spans((build(inputs),))):
        assert end <= begin


def test_two_children_one_hour() -> None:
    ana = build(week([35] * 3, routine=AT_FIVE))
    leo = build(replace(week([15] * 3, routine=AT_FIVE), pieces=(), spots=()))
    plans = apart([("Ana", ana), ("Leo", leo)], SharedTime(dt.time(17), dt.time(18)))
    table = [
        (f"{one.date:%a}", f"{one.sessions[0].start:%H:%M}", f"{two.sessions[0].start:%H:%M}")
        for one, two in zip(plans[0].days, plans[1].days, strict=True)
    ]
    # Ana needs 35 minutes and a rest of 5, Leo 15; they take turns at being first.
    assert table == [
        ("Thu", "17:00", "17:40"),
        ("Fri", "17:15", "17:00"),
        ("Sat", "17:00", "17:40"),
    ]
    assert plans[0].unmet == plans[1].unmet == ()


def test_an_hour_too_short_for_both_is_named() -> None:
    ana, leo = (build(week([35], MINUET, routine=AT_FIVE)) for _ in range(2))
    plans = apart([("Ana", ana), ("Leo", leo)], SharedTime(end=dt.time(18)))
    said = [sentence for plan in plans for sentence in plan.unmet]
    assert said == ["The time shared on Thursday ends at 18:00: Leo needs 20 minutes more."]


def test_a_session_without_any_time_is_named() -> None:
    plan = apart([("Ana", build(week([20])))])[0]
    assert plan.unmet == ("There is no time of its own for Ana's “After school” on Thursday.",)


def test_a_session_longer_than_the_time_before_the_next_moves_it() -> None:
    routine = Routine((SessionIn("First", dt.time(17)), SessionIn("Second", dt.time(17, 10))))
    plan = build(week([60], routine=routine))
    assert [f"{session.start:%H:%M}" for session in plan.days[0].sessions] == ["17:00", "17:23"]
    assert plan.unmet == (
        "“Second” on Thursday starts at 17:23, not 17:10: the session before it is longer"
        " than that.",
    )


def test_a_session_that_would_run_past_midnight_has_no_start() -> None:
    routine = Routine((SessionIn("Late", dt.time(23, 30)),))
    plan = build(week([60], routine=routine))
    assert plan.days[0].sessions[0].start is None
    assert plan.unmet == ("“Late” on Thursday would run past midnight: no start.",)
    assert plan.days[0].date == THURSDAY
