"""One rule for times of day, in figures and inside the sentences of pure rules."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

import pytest

from studio.web.wall_clock import in_wall_time, wall_time


@dataclass
class By:
    clock_24h: bool


# How the twelve-hour clock names noon and midnight: NIST, "Times of Day FAQs" (from memory).
@pytest.mark.parametrize(
    ("time", "twelve"),
    [
        (dt.time(0, 0), "12:00 am"),
        (dt.time(0, 5), "12:05 am"),
        (dt.time(9, 30), "9:30 am"),
        (dt.time(11, 59), "11:59 am"),
        (dt.time(12, 0), "12:00 pm"),
        (dt.time(17, 20), "5:20 pm"),
        (dt.time(23, 59), "11:59 pm"),
    ],
)
def test_noon_and_midnight_included(time: dt.time, twelve: str) -> None:
    assert wall_time(time, By(clock_24h=False)) == twelve
    assert wall_time(time, By(clock_24h=True)) == f"{time:%H:%M}"


def test_a_sentence_is_told_by_the_studios_clock_and_keeps_its_other_figures() -> None:
    said = "“Evening” starts at 16:30, not 09:00: 35 minutes, bar 12:3, 24:10 and 1:300."
    assert in_wall_time(said, By(clock_24h=True)) == said
    assert in_wall_time(said, By(clock_24h=False)) == (
        "“Evening” starts at 4:30 pm, not 9:00 am: 35 minutes, bar 12:3, 24:10 and 1:300."
    )
