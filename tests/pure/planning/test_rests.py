"""L8: a long session shows rests, which count as no practice."""

from __future__ import annotations

import pytest
from hypothesis import given

from practice.planning.load import rests
from practice.planning.types import Rest, Routine, WeekInputs
from practice.planning.versions import build
from tests.pure.planning.strategies import pinned_weeks
from tests.pure.planning.weeks import TWO_SESSIONS, week


@given(pinned_weeks())
def test_no_stretch_of_practice_is_longer_than_the_setting(inputs: WeekInputs) -> None:
    routine = inputs.routine
    for day in build(inputs).days:
        assert sum(session.minutes for session in day.sessions) == day.minutes
        for session in day.sessions:
            edges = [0, *[rest.at for rest in session.rests], session.clock_minutes]
            resumed = [0, *[rest.at + rest.minutes for rest in session.rests]]
            played = [until - since for since, until in zip(resumed, edges[1:], strict=True)]
            assert all(1 <= minutes <= routine.rest_after for minutes in played)
            assert sum(played) == session.minutes
            assert all(rest.minutes == routine.rest_minutes for rest in session.rests)


# A handbook's habit of 5 minutes after 25 (Klickstein, p. 75, read on the author's page) puts
# the rests at 25, 55 and 85 minutes on the clock.
@pytest.mark.parametrize(
    ("minutes", "slots"),
    [(1, []), (25, []), (26, [25]), (50, [25]), (51, [25, 55]), (76, [25, 55, 85])],
)
def test_rests_of_five_after_twenty_five(minutes: int, slots: list[int]) -> None:
    assert rests(minutes, Routine()) == tuple(Rest(at, 5) for at in slots)


def test_sixty_minutes_in_two_sessions_as_the_clock_shows_them() -> None:
    day = build(week([60], routine=TWO_SESSIONS)).days[0]
    table = [
        (session.name, session.minutes, [rest.at for rest in session.rests], session.clock_minutes)
        for session in day.sessions
    ]
    assert table == [
        # session, practice, rest at, on the clock
        ("Before school", 23, [], 23),
        ("After school", 37, [25], 42),
    ]
