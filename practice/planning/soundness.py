"""What is wrong with a week's inputs, and the same inputs mended."""

from __future__ import annotations

from dataclasses import replace

from practice.planning.types import WeekInputs


def validate(inputs: WeekInputs) -> tuple[str, ...]:
    """Every value out of range at once: one sentence each, naming the setting and the value."""
    return tuple(sound(inputs)[1])


def sound(inputs: WeekInputs) -> tuple[WeekInputs, list[str]]:
    """The nearest inputs a week can be built from, and a sentence for each thing mended."""
    return replace(inputs), []
