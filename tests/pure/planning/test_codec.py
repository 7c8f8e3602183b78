"""Inputs and plans survive JSON text without loss."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given

from practice.planning.types import WeekInputs, WeekPlan
from practice.planning.versions import build
from tests.pure.planning.strategies import pinned_weeks, wild_weeks
from tests.pure.planning.weeks import week


@given(pinned_weeks())
def test_inputs_and_plan_come_back_equal(inputs: WeekInputs) -> None:
    assert WeekInputs.from_json(json.loads(json.dumps(inputs.to_json()))) == inputs
    plan = build(inputs)
    assert WeekPlan.from_json(json.loads(json.dumps(plan.to_json()))) == plan


@given(wild_weeks())
def test_wild_inputs_come_back_equal(inputs: WeekInputs) -> None:
    assert WeekInputs.from_json(json.loads(json.dumps(inputs.to_json()))) == inputs


def test_fields_that_were_added_later_take_their_default() -> None:
    data = week([20]).to_json()
    del data["pins"], data["days"][0]["by_hand"]
    assert WeekInputs.from_json(data) == week([20])


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"days": 3}, "WeekInputs.days must be a list, not 3."),
        ({"days": [{"date": "2026-11-31", "minutes": 5}]}, "WeekInputs.days[0].date cannot be"),
        ({"days": [{"date": "2026-11-26"}]}, "WeekInputs.days[0] is not complete"),
        ({"days": [{"date": "2026-11-26", "minutes": "5"}]}, "minutes must be int, not '5'."),
        ({"days": [{"date": "2026-11-26", "minutes": True}]}, "minutes must be int, not True."),
        ({"level": 3}, "WeekInputs has no field level."),
        ({"routine": []}, "WeekInputs.routine must be an object, not []."),
        ({"spots": [{"id": 1, "piece": 1, "bars": "1", "state": "bad"}]}, "state cannot be 'bad'."),
    ],
)
def test_other_shapes_are_refused_with_the_field(change: dict[str, Any], sentence: str) -> None:
    with pytest.raises(ValueError, match="WeekInputs") as refused:
        WeekInputs.from_json(week([20]).to_json() | change)
    assert sentence in str(refused.value)


def test_the_whole_must_be_an_object() -> None:
    with pytest.raises(ValueError, match="WeekInputs must be an object, not None."):
        WeekInputs.from_json(None)
