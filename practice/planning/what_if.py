"""The same week with other minutes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date

from practice.planning.types import WeekInputs, WeekPlan
from practice.planning.versions import build


def what_if(inputs: WeekInputs, minutes: Mapping[date, int]) -> WeekPlan:
    """The week built again with these budgets; days not named keep theirs."""
    days = tuple(replace(day, minutes=minutes.get(day.date, day.minutes)) for day in inputs.days)
    return build(replace(inputs, days=days))
