"""The teacher's pins hold; what cannot hold is named."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

from hypothesis import given

from practice.planning.types import (
    FavouriteIn,
    FixedMinutes,
    ForbiddenPart,
    FreeItem,
    Part,
    PinnedItem,
    Pins,
    WeekInputs,
    WeekPlan,
)
from practice.planning.versions import build
from tests.pure.planning.strategies import pinned_weeks
from tests.pure.planning.weeks import MINUET, TWO_SESSIONS, day, same_table, week


def keys(plan: WeekPlan, number: int) -> set[str]:
    return {item.key for item in plan.days[number].items}


@given(pinned_weeks())
def test_a_forbidden_part_is_nowhere_on_its_day(inputs: WeekInputs) -> None:
    for planned in build(inputs).days:
        barred = {p.part for p in inputs.pins.forbidden if p.date in (None, planned.date)}
        assert not barred & {item.part for item in planned.items} - {Part.FREE}


@given(pinned_weeks())
def test_a_pinned_item_is_on_its_day_or_named(inputs: WeekInputs) -> None:
    plan = build(inputs)
    for pin in inputs.pins.items:
        planned = next(each for each in plan.days if each.date == pin.date)
        if pin.key in ("stretch", "warm_up") or pin.key.startswith("scale"):
            continue
        told = any(" is put on " in said for said in plan.unmet)
        assert pin.key in {item.key for item in planned.items} or told


@given(pinned_weeks())
def test_fixed_minutes_are_exact_or_named(inputs: WeekInputs) -> None:
    plan = build(inputs)
    fixed: dict[Part, int] = {}
    for pin in inputs.pins.fixed:
        fixed.setdefault(pin.part, pin.minutes)
    for planned in plan.days:
        for part, minutes in fixed.items():
            items = [item.minutes for item in planned.items if item.part == part]
            if items and part not in (Part.FREE, Part.RE_WARM_UP):
                name = f"{planned.date:%A}"
                told = [said for said in plan.unmet if name in said]
                assert sum(items) == minutes or any(
                    "You fixed" in said or "more minutes than its parts" in said for said in told
                )


def test_a_spot_pinned_to_saturday_is_there_on_saturday() -> None:
    spots = tuple(replace(spot, last_practised=day(-1)) for spot in MINUET.spots)
    pins = Pins(items=(PinnedItem("spot:7", day(2)),))
    plan = build(week([20] * 4, spots=spots, pins=pins))
    assert ["spot:7" in keys(plan, n) for n in range(4)] == [False, True, True, False]
    reason = next(item.reason for item in plan.days[2].items if item.key == "spot:7")
    assert reason == "You put it on this day."


def test_a_run_through_that_is_never_due_can_still_be_pinned() -> None:
    piece = replace(MINUET.pieces[0], run_every=0)
    pins = Pins(items=(PinnedItem("run:1", day(1)),))
    plan = build(week([20] * 3, pieces=(piece,), pins=pins))
    assert ["run:1" in keys(plan, n) for n in range(3)] == [False, True, False]
    assert all(waiting.key != "run:1" for each in plan.days for waiting in each.waiting)


def test_a_pinned_favourite_stands_for_the_one_whose_turn_it_was() -> None:
    favourites = (FavouriteIn(1, "Ode", day(-9)), FavouriteIn(2, "Reel", day(-1)))
    pins = Pins(items=(PinnedItem("favourite:2", day(0)),))
    plan = build(week([20] * 2, favourites=favourites, pins=pins))
    assert "favourite:2" in keys(plan, 0)
    assert "favourite:1" not in keys(plan, 0)
    assert "favourite:1" in keys(plan, 1)


def test_the_week_with_every_kind_of_pin() -> None:
    pins = Pins(
        items=(PinnedItem("spot:7", day(1)),),
        forbidden=(ForbiddenPart(Part.EXPLORE), ForbiddenPart(Part.RUN_THROUGH, day(0))),
        fixed=(FixedMinutes(Part.SCALE, 8), FixedMinutes(Part.SPOT, 6)),
        free=(FreeItem(1, "Play for Grandma", 5, day(2)),),
    )
    plan = build(week([30, 30, 30], pins=pins, routine=TWO_SESSIONS))
    assert same_table(
        plan,
        """
                          Thu  Fri  Sat
        Before school
          stretch           2    2    1
          warm_up           4    3    3
          scale:1           8    8    8
        After school
          re_warm_up:2      3    2    2
          etude:1           5    4    3
          spot:3            3    3    6
          spot:7            3    3    .
          run:1             .    3    .
          free:1            .    .    5
          favourite:1       2    2    2
        minutes            30   30   30
        """,
    )
    assert plan.unmet == ()


def test_pins_that_contradict_each_other_are_named() -> None:
    pins = Pins(
        items=(
            PinnedItem("etude:1", day(0)),
            PinnedItem("spot:99", day(0)),
            PinnedItem("explore", day(-3)),
        ),
        forbidden=(ForbiddenPart(Part.ETUDE, day(0)), ForbiddenPart(Part.SPOT, day(9))),
        fixed=(FixedMinutes(Part.SCALE, 5), FixedMinutes(Part.SCALE, 9)),
        free=(FreeItem(1, " ", 5), FreeItem(2, "Duet", 0), FreeItem(3, "Duet", 5, day(9))),
    )
    assert set(build(week([20, 20], pins=pins)).unmet) == {
        "Etude no. 2 is put on Thursday, where you left out the etude: it stays out.",
        "“spot:99” is put on a day but is not in hand: it is left out.",
        "Two voices is put on 23 November, which is no practice day.",
        "You left out the spots on 5 December, which is no practice day.",
        "You fixed both 5 and 9 minutes for the scale: 5 counts.",
        "Free item 1 has no text: it is left out.",
        "“Duet” is to have 0 minutes, not between 1 and 600: it is left out.",
        "“Duet” is written for 5 December, which is no practice day.",
    }


def test_a_rule_that_a_pin_breaks_is_named() -> None:
    barred = (ForbiddenPart(Part.WARM_UP, day(0)), ForbiddenPart(Part.SCALE))
    plan = build(week([20, 20], pins=Pins(forbidden=barred)))
    assert plan.unmet == (
        "You left out the warm-up on Thursday: a warm-up every day cannot hold.",
        "You left out the scale all week: a scale every day cannot hold.",
    )
    assert "warm_up" not in keys(plan, 0)
    assert "warm_up" in keys(plan, 1)


def test_fixed_minutes_beyond_the_day_are_shortened_and_named() -> None:
    plan = build(week([10], pins=Pins(fixed=(FixedMinutes(Part.SCALE, 30),))))
    assert "You fixed 30 minutes for the scale; Thursday has room for 8." in plan.unmet
    assert plan.days[0].minutes == 10


def test_fixed_minutes_that_leave_the_day_too_empty_give_way() -> None:
    pins = Pins(fixed=(FixedMinutes(Part.WARM_UP, 2), FixedMinutes(Part.SCALE, 5)))
    bare = WeekInputs(days=week([20]).days, scale=MINUET.scale, pins=pins)
    plan = build(bare)
    assert plan.unmet == (
        "Thursday has more minutes than its parts may take: G major gets the rest.",
    )
    assert {item.key: item.minutes for item in plan.days[0].items} == {
        "stretch": 4,
        "warm_up": 2,
        "scale:1": 14,
    }


def test_spots_with_fixed_minutes_are_fewer_where_the_minutes_do_not_fit() -> None:
    plan = build(week([6, 20], pins=Pins(fixed=(FixedMinutes(Part.SPOT, 4),))))
    spots = [[i.minutes for i in each.items if i.part == Part.SPOT] for each in plan.days]
    assert spots == [[2], [2, 2]]
    pinned = Pins(fixed=(FixedMinutes(Part.SPOT, 4),), items=(PinnedItem("spot:7", day(0)),))
    plan = build(week([6], pins=pinned))
    assert [i.key for i in plan.days[0].items if i.part == Part.SPOT] == ["spot:7"]
    assert "You fixed 4 minutes for the spots; Thursday has room for 2." in plan.unmet


def test_a_free_item_too_long_for_its_day_gets_what_there_is() -> None:
    plan = build(week([20], pins=Pins(free=(FreeItem(1, "Duet", 30, day(0)),))))
    said = "“Duet” is to have 30 minutes on Thursday, which has 20 minutes: it gets 16 minutes."
    assert said in plan.unmet


def test_a_pin_on_a_day_without_room_is_named() -> None:
    plan = build(week([3], pins=Pins(items=(PinnedItem("etude:1", day(0)),))))
    assert plan.unmet[0] == "Etude no. 2 is put on Thursday, but 3 minutes leave no room for it."


def test_dates_of_pins_are_those_of_the_week() -> None:
    assert day(0) == dt.date(2026, 11, 26)


def test_a_part_left_out_all_week_cannot_have_minutes() -> None:
    pins = Pins(forbidden=(ForbiddenPart(Part.ETUDE),), fixed=(FixedMinutes(Part.ETUDE, 5),))
    plan = build(week([20] * 3, pins=pins))
    assert "You fixed 5 minutes for the etude and left it out all week: it stays out." in plan.unmet
    assert all(item.part != Part.ETUDE for day in plan.days for item in day.items)
