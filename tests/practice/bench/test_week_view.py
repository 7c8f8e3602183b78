"""The week in words: what waits, what could not be kept, told once with its days."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest
from django.template.loader import render_to_string

from practice.bench.week_view import _told_once, growth_blocks_nothing, week_view
from practice.planning.types import (
    DayIn,
    EtudeIn,
    FixedMinutes,
    Part,
    PieceIn,
    Pins,
    ScaleIn,
    SpotIn,
    SpotState,
    WeekInputs,
)
from practice.planning.versions import build
from practice.planning.words import of_day, told
from practice.plans.hand import Hand, HandEtude, HandPiece, HandScale, HandSpot

THURSDAY = dt.date(2026, 11, 26)
NO_PINS = Pins()
HAND = Hand(
    scale=HandScale(1, "G major", "major", 1, THURSDAY),
    etude=HandEtude(2, 7, "Wohlfahrt op. 45, no. 2", "Franz Wohlfahrt", THURSDAY),
    pieces=(
        HandPiece(
            3, 1, 8, "Minuet", "", "working-up", THURSDAY,
            (HandSpot(4, 7, 7, "shift", 60, 80, "firming"),),
        ),
    ),
)  # fmt: skip


def week(minutes: list[int], pins: Pins = NO_PINS) -> WeekInputs:
    return WeekInputs(
        days=tuple(
            DayIn(THURSDAY + dt.timedelta(days=n), each, off=not each)
            for n, each in enumerate(minutes)
        ),
        scale=ScaleIn(1, "G major"),
        etude=EtudeIn(2, "Wohlfahrt op. 45, no. 2"),
        pieces=(PieceIn(3, 1, "Minuet"),),
        spots=(SpotIn(4, 1, "bar 7", SpotState.FIRMING),),
        pins=pins,
    )


MONDAY, TUESDAY, WEDNESDAY, FRIDAY = (dt.date(2026, 11, n) for n in (23, 24, 25, 27))
NO_ETUDE = "No etude on {day} and {other}."


def has(day: dt.date, minutes: int) -> str:
    return of_day("{day} has {n}.", day, n=minutes)


def no_etude(one: dt.date, two: dt.date) -> str:
    return told(NO_ETUDE.format(day=f"{one:%A}", other=f"{two:%A}"), NO_ETUDE, one, two)


@pytest.mark.parametrize(
    ("said", "once"),
    [
        ([has(MONDAY, 1)], ["Monday has 1."]),
        (
            [has(MONDAY, 1), "Something else.", has(FRIDAY, 2)],
            ["Monday has 1. Likewise on Friday.", "Something else."],
        ),
        (
            [no_etude(MONDAY, TUESDAY), no_etude(TUESDAY, WEDNESDAY), no_etude(WEDNESDAY, FRIDAY)],
            ["No etude on Monday and Tuesday. Likewise on Wednesday and Friday."],
        ),
        (["You fixed 3.", "You fixed 4."], ["You fixed 3.", "You fixed 4."]),
        (
            [of_day("{about} on {day}.", day, about) for day, about in
             ((MONDAY, "Minuet"), (FRIDAY, "Gavotte"))],
            ["Minuet on Monday.", "Gavotte on Friday."],
        ),
    ],
)  # fmt: skip
def test_what_is_alike_is_told_once_with_its_days(said: list[str], once: list[str]) -> None:
    assert _told_once(said) == once


def test_two_hundred_fixed_minutes_take_few_sentences() -> None:
    pins = Pins(fixed=(FixedMinutes(Part.SCALE, 200),))
    view = week_view(build(week([20, 20, 20, 0, 20, 20, 20], pins)), HAND, None)
    assert len(view.unmet) == 3
    assert view.unmet[0].startswith("You fixed 200 minutes for the scale; Thursday has room for")
    assert view.unmet[0].endswith("Likewise on Friday, Saturday, Monday, Tuesday and Wednesday.")


def test_growth_is_told_quietly_with_why_it_is_told_so_often() -> None:
    plan = replace(build(week([20] * 7)), cautions=("140 minutes are 40% more.",))
    view = week_view(plan, HAND, None)
    assert view.growth == (f"140 minutes are 40% more. {growth_blocks_nothing()}",)
    assert "half of its days" in view.growth[0]
    assert not view.notes
    said = render_to_string("bench/week_say.html", {"view": view})
    line = said[said.index("caution-line") :]
    assert "<svg" not in line
    assert "140 minutes are 40% more." in line


def test_every_row_has_its_reason() -> None:
    for minutes in ([3] * 7, [12] * 7, [45] * 7, [1, 60, 0, 0, 5, 9, 200]):
        view = week_view(build(week(minutes)), HAND, None)
        assert all(row.why for session in view.sessions for row in session.rows)


def test_a_gap_is_explained_once() -> None:
    view = week_view(build(week([30] * 7)), HAND, None)
    (spots,) = [row for row in view.sessions[0].rows if row.row.name == "Spots"]
    assert spots.why == ("Spot in bar 7: firming up, so every second day.",)


def test_what_has_no_turn_is_told_with_its_reason() -> None:
    view = week_view(build(week([4] * 1 + [0] * 6)), HAND, None)
    assert any("Minuet" in each or "bar 7" in each for each in view.waiting)
