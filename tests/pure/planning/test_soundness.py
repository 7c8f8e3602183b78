"""Bad inputs: one sentence each that names the setting, and the best lawful week that remains."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest
from hypothesis import given

from practice.planning.soundness import sound, validate
from practice.planning.types import (
    DayIn,
    FavouriteIn,
    History,
    Logged,
    PieceIn,
    Routine,
    ScaleIn,
    SessionIn,
    SpotIn,
    WeekInputs,
)
from practice.planning.versions import build
from tests.pure.planning.strategies import pinned_weeks, weeks, wild_weeks
from tests.pure.planning.weeks import MINUET, THURSDAY, day, week


@given(wild_weeks())
def test_whatever_comes_in_a_lawful_week_comes_out(inputs: WeekInputs) -> None:
    plan = build(inputs)
    assert len(plan.days) <= 7
    for planned in plan.days:
        assert sum(item.minutes for item in planned.items) == planned.minutes <= 600
        assert all(item.minutes >= 1 for item in planned.items)
        assert len(planned.sessions) <= 3
        assert len({item.piece for item in planned.items} - {None}) <= 2


@given(wild_weeks())
def test_mended_inputs_are_sound(inputs: WeekInputs) -> None:
    mended, _ = sound(inputs)
    told_only = ("cannot hold", "no practice day", "has no days")
    assert [said for said in validate(mended) if not any(t in said for t in told_only)] == []


@given(weeks())
def test_sound_inputs_stay_as_they_are(inputs: WeekInputs) -> None:
    mended, said = sound(inputs)
    assert mended == inputs
    assert [each for each in said if "no practice day" not in each] == []


@given(pinned_weeks())
def test_every_sentence_of_the_validator_reaches_the_plan(inputs: WeekInputs) -> None:
    assert set(validate(inputs)) <= set(build(inputs).unmet)


GOOD = week([20, 20])
SPOT = SpotIn(9, 1, "bar 9")
BAD: list[tuple[WeekInputs, str]] = [
    (MINUET, "The week has no days: nothing is planned."),
    (week([0, 0]), "The week has no practice day: every day is off or has 0 minutes."),
    (week([20] * 8), "The week has 8 days: only the first 7 are planned."),
    (week([20, 700]), "Minutes on Friday are 700, not between 0 and 600: 600 are planned."),
    (week([20, -5]), "Minutes on Friday are -5, not between 0 and 600: 0 are planned."),
    (
        replace(GOOD, days=(*GOOD.days, DayIn(day(1), 10))),
        "27 November stands in the week twice: the first one counts.",
    ),
    (
        replace(GOOD, days=(DayIn(day(0), 20, sessions=(1, 4)),)),
        "Thursday names session 4; the routine has 1.",
    ),
    (
        replace(GOOD, days=(DayIn(day(0), 20, sessions=()),)),
        "Thursday has 20 minutes but no session: all are used.",
    ),
    (replace(GOOD, routine=Routine(())), "The routine names no session: one is planned."),
    (
        replace(GOOD, routine=Routine(tuple(SessionIn(f"{n}") for n in range(4)))),
        "The routine names 4 sessions a day: the first 3 are used.",
    ),
    (
        replace(
            GOOD,
            routine=Routine((SessionIn("a", dt.time(17)), SessionIn("b", dt.time(7)))),
        ),
        "The sessions start at 17:00, 07:00, which is not in order: no start is shown.",
    ),
    (
        replace(GOOD, routine=Routine(rest_after=0)),
        "Setting “a rest comes after” is 0 minutes, not between 10 and 90: 10 is used.",
    ),
    (
        replace(GOOD, routine=Routine(rest_minutes=45)),
        "Setting “a rest lasts” is 45 minutes, not between 1 and 30: 30 is used.",
    ),
    (
        replace(GOOD, routine=Routine(growth_limit_percent=-10)),
        "Setting “the growth limit” is -10 %, not between 1 and 200: 1 is used.",
    ),
    (
        replace(GOOD, pieces=(*GOOD.pieces, PieceIn(2, 3, "Gavotte"))),
        "Place of Gavotte is 3, not 1 or 2: it is left out.",
    ),
    (
        replace(GOOD, pieces=(*GOOD.pieces, PieceIn(2, 1, "Gavotte"))),
        "Place 1 is taken twice: Gavotte is left out.",
    ),
    (
        replace(GOOD, pieces=(*GOOD.pieces, PieceIn(1, 2, "Minuet"))),
        "Minuet is in hand twice: the first one counts.",
    ),
    (
        replace(GOOD, pieces=(PieceIn(1, 1, "Minuet", run_every=9),)),
        "The run-through of Minuet is every 9 days, not between 0 and 7: 7 is used.",
    ),
    (
        replace(GOOD, spots=(replace(SPOT, piece=2),)),
        "The spot in bar 9 belongs to piece 2, which is not in hand: it is left out.",
    ),
    (
        replace(GOOD, spots=(SPOT, SPOT)),
        "The spot in bar 9 is listed twice: the first one counts.",
    ),
    (
        replace(GOOD, spots=(replace(SPOT, tempo_now=5),)),
        "Tempo now of the spot in bar 9 is 5, not between 20 and 300: 20 is used.",
    ),
    (
        replace(GOOD, spots=(replace(SPOT, tempo_now=90, tempo_goal=80),)),
        "Tempo wanted of the spot in bar 9 is 80, below the tempo now (90): 90 is used for both.",
    ),
    (
        replace(GOOD, scale=ScaleIn(1, "G major", 60, 400)),
        "Tempo wanted of G major is 400, not between 20 and 300: 300 is used.",
    ),
    (
        replace(GOOD, favourites=(FavouriteIn(1, "Reel"), FavouriteIn(1, "Reel"))),
        "Favourite Reel is listed twice: the first one counts.",
    ),
    (
        replace(GOOD, history=History((Logged(day(-2), "etude:1", 2000),))),
        "The log of 24 November says 2,000 minutes; a day has 1,440."
        " That day is left out of the sums.",
    ),
    (
        replace(GOOD, history=History((Logged(day(-2), "etude:1", -3),))),
        "The log of 24 November says -3 minutes for etude:1: it is left out of the sums.",
    ),
    (
        week([1, 20]),
        "Thursday has 1 minute, too few for warm-up and scale: no scale that day.",
    ),
    (
        replace(week([20]), scale=None, pins=replace(GOOD.pins), etude=None, pieces=(), spots=()),
        "",
    ),
]


@pytest.mark.parametrize(("inputs", "sentence"), BAD)
def test_the_sentence_names_setting_and_value(inputs: WeekInputs, sentence: str) -> None:
    assert sentence in build(inputs).unmet or not sentence


def test_all_that_is_wrong_is_said_at_once() -> None:
    inputs = replace(
        week([20, 999]),
        routine=Routine(rest_after=1, rest_minutes=99),
        spots=(replace(SPOT, tempo_now=5, piece=2),),
    )
    assert len(validate(inputs)) == 4


def test_a_log_of_two_thousand_minutes_does_not_count_towards_growth() -> None:
    honest = tuple(Logged(day(-n), "etude:1", 20) for n in (2, 9, 16, 23))
    mad = Logged(THURSDAY - dt.timedelta(days=3), "etude:1", 2000)
    with_it = build(week([20] * 6, history=History((*honest, mad))))
    without = build(week([20] * 6, history=History(honest)))
    assert with_it.cautions == without.cautions != ()
