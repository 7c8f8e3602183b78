"""L4: every later session opens with a short re-warm-up and nothing else of the opening."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given

from practice.planning.types import FixedMinutes, ForbiddenPart, Part, Pins, WeekInputs
from practice.planning.versions import build
from tests.pure.planning.strategies import pinned_weeks
from tests.pure.planning.weeks import (
    MINUET,
    MINUET_AND_MARCH,
    THREE_SESSIONS,
    TWO_SESSIONS,
    same_table,
    week,
)


@given(pinned_weeks())
def test_later_sessions_open_with_one_to_four_minutes(inputs: WeekInputs) -> None:
    left_out = {pin.date for pin in inputs.pins.forbidden if pin.part == Part.RE_WARM_UP}
    for day in build(inputs).days:
        for number, session in enumerate(day.sessions):
            first, *rest = session.items
            found = {item.part for item in session.items}
            if number == 0:
                assert Part.RE_WARM_UP not in found
            elif not {day.date, None} & left_out:
                assert first.part == Part.RE_WARM_UP
                assert 1 <= first.minutes <= 4
                assert not found & {Part.STRETCH, Part.WARM_UP, Part.SCALE}
                assert rest, "a session of a re-warm-up alone is no session"


def test_short_usual_and_long_days() -> None:
    assert same_table(
        build(week([12, 60, 180], routine=THREE_SESSIONS)),
        """
                          Thu  Fri  Sat
        Morning
          stretch           1    3    4
          warm_up           1    7   10
          scale:1           3   14   49
        Noon
          re_warm_up:2      1    4    4
          etude:1           .    9   33
          spot:3            2    7   25
          spot:7            .    5    .
          run:1             2    .    .
          favourite:1       2    .    .
        Evening
          re_warm_up:3      .    4    4
          run:1             .    .   25
          favourite:1       .    4   13
          explore           .    3   13
        minutes            12   60  180
        """,
    )


def test_a_fixed_length_is_met_where_nothing_is_pushed_out() -> None:
    pins = Pins(fixed=(FixedMinutes(Part.RE_WARM_UP, 4),))
    inputs = week([30, 16], replace(MINUET_AND_MARCH, pins=pins), routine=TWO_SESSIONS)
    plan = build(inputs)
    first = [day.sessions[1].items[0].minutes for day in plan.days]
    assert first == [4, 2]
    assert "You fixed 4 minutes for the re-warm-up; Friday has room for 2." in plan.unmet


def test_the_rest_of_a_day_never_goes_to_the_re_warm_up() -> None:
    pins = Pins(fixed=(FixedMinutes(Part.FAVOURITE, 1),), forbidden=(ForbiddenPart(Part.WARM_UP),))
    bare = WeekInputs(days=week([20]).days, favourites=MINUET.favourites, pins=pins)
    sessions = build(replace(bare, routine=TWO_SESSIONS)).days[0].sessions
    assert [[(item.key, item.minutes) for item in each.items] for each in sessions] == [
        [("stretch", 4)],
        [("re_warm_up:2", 4), ("favourite:1", 12)],
    ]
