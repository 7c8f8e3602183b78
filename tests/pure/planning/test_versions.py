"""The same inputs give the same week, by the builder they name."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest
from hypothesis import given

from practice.planning.build import build_v1
from practice.planning.types import WeekInputs
from practice.planning.versions import BUILDERS, LATEST, build
from practice.planning.what_if import what_if
from tests.pure.planning.strategies import pinned_weeks
from tests.pure.planning.weeks import MINUET_AND_MARCH, TWO_SESSIONS, day, week


@given(pinned_weeks())
def test_the_same_inputs_give_the_same_week(inputs: WeekInputs) -> None:
    state = random.getstate()
    assert build(inputs) == build(WeekInputs.from_json(inputs.to_json()))
    assert random.getstate() == state


@given(pinned_weeks())
def test_the_order_of_days_spots_and_pieces_does_not_matter(inputs: WeekInputs) -> None:
    turned = replace(
        inputs,
        days=inputs.days[::-1],
        spots=inputs.spots[::-1],
        pieces=inputs.pieces[::-1],
    )
    assert build(turned).days == build(inputs).days


def test_every_builder_is_kept_under_its_version() -> None:
    assert {1: build_v1} == BUILDERS
    assert LATEST == 1
    assert build(week([20])).version == 1


def test_an_unknown_version_is_refused() -> None:
    with pytest.raises(ValueError, match="no builder of version 7; the latest is 1"):
        build(replace(week([20]), version=7))


def test_a_stored_week_is_built_again_as_it_was() -> None:
    """Frozen: version 1 has printed this. A change here needs a new version."""
    plan = build(week([25, 10, 40], MINUET_AND_MARCH, routine=TWO_SESSIONS))
    found = [
        " ".join(f"{item.key}={item.minutes}" for item in planned.items) for planned in plan.days
    ]
    assert found == [
        "stretch=1 warm_up=2 scale:1=5 etude:1=3 spot:3=2 spot:7=2 run:1=2"
        " re_warm_up:2=2 spot:5=2 favourite:1=2 explore=2",
        "stretch=1 warm_up=2 scale:1=3 etude:1=2 spot:3=2",
        "stretch=1 warm_up=4 scale:1=8 etude:1=5 spot:3=4 spot:7=3 run:1=4"
        " re_warm_up:2=3 run:2=4 favourite:1=2 explore=2",
    ]


def test_what_if_changes_the_days_it_names_and_no_other() -> None:
    inputs = week([20, 20, 20])
    plan = what_if(inputs, {day(1): 50})
    assert [each.minutes for each in plan.days] == [20, 50, 20]
    assert plan.days[0] == build(inputs).days[0]
    assert inputs.days[1].minutes == 20
