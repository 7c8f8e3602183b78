"""Every builder there ever was, so that an old week can be built again as it was."""

from __future__ import annotations

from collections.abc import Callable

from practice.planning.build import build_v1
from practice.planning.types import WeekInputs, WeekPlan

BUILDERS: dict[int, Callable[[WeekInputs], WeekPlan]] = {1: build_v1}
LATEST = max(BUILDERS)


def build(inputs: WeekInputs) -> WeekPlan:
    """The week as the builder of `inputs.version` writes it. Raises ValueError if unknown."""
    if inputs.version not in BUILDERS:
        raise ValueError(
            f"There is no builder of version {inputs.version}; the latest is {LATEST}."
        )
    return BUILDERS[inputs.version](inputs)
