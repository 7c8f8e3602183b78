"""Generated studios: every kind of student's week, from eight minutes to three hours a day."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

from hypothesis import strategies as st

from practice.planning.pins import known_keys
from practice.planning.types import (
    DayIn,
    EtudeIn,
    ExploreIn,
    FavouriteIn,
    FixedMinutes,
    ForbiddenPart,
    FreeItem,
    History,
    Logged,
    Part,
    PieceIn,
    PinnedItem,
    Pins,
    Routine,
    ScaleIn,
    SessionIn,
    SpotIn,
    SpotState,
    Stage,
    WeekInputs,
)

START = dt.date(2026, 11, 26)
LONG_AGO = 40

# Short, usual and long days about equally often.
budgets = st.one_of(st.integers(1, 12), st.integers(13, 60), st.integers(61, 240))
session_names = ("Before school", "After school", "Evening")
session_starts = (dt.time(7, 10), dt.time(15, 30), dt.time(19))


@st.composite
def routines(draw: st.DrawFn) -> Routine:
    count = draw(st.integers(1, 3))
    timed = draw(st.booleans())
    sessions = tuple(
        SessionIn(session_names[n], session_starts[n] if timed else None) for n in range(count)
    )
    return Routine(sessions, draw(st.integers(10, 90)), draw(st.integers(1, 30)), 25)


@st.composite
def week_days(draw: st.DrawFn, sessions: int) -> tuple[DayIn, ...]:
    """One to seven days; some are off, one may be the lesson's, which may take a session."""
    minutes = draw(st.lists(st.one_of(st.just(0), budgets, budgets), min_size=1, max_size=7))
    lesson = draw(st.integers(0, 13))
    held = draw(st.sets(st.integers(1, sessions), min_size=1))
    usual = draw(st.booleans())
    return tuple(
        DayIn(
            START + dt.timedelta(days=n),
            budget,
            lesson=n == lesson,
            off=not budget,
            sessions=tuple(sorted(held)) if n == lesson and not usual else None,
        )
        for n, budget in enumerate(minutes)
    )


def days_before() -> st.SearchStrategy[dt.date]:
    return st.integers(1, LONG_AGO).map(lambda n: START - dt.timedelta(days=n))


@st.composite
def spots(draw: st.DrawFn, pieces: int) -> tuple[SpotIn, ...]:
    count = draw(st.integers(0, 6)) if pieces else 0
    return tuple(
        SpotIn(
            id=n,
            piece=draw(st.integers(1, pieces)),
            bars=f"bar {n}",
            state=draw(st.sampled_from(SpotState)),
            tempo_now=draw(st.integers(40, 100)),
            tempo_goal=draw(st.integers(100, 208)),
            hardness=draw(st.integers(1, 4)),
            last_practised=draw(st.none() | days_before()),
        )
        for n in range(1, count + 1)
    )


@st.composite
def pieces(draw: st.DrawFn) -> tuple[PieceIn, ...]:
    return tuple(
        PieceIn(
            place,
            place,
            f"Piece {place}",
            draw(st.sampled_from(Stage)),
            draw(st.none() | st.integers(0, 4)),
        )
        for place in range(1, draw(st.integers(0, 2)) + 1)
    )


@st.composite
def histories(draw: st.DrawFn, keys: tuple[str, ...]) -> History:
    logged = draw(
        st.lists(
            st.builds(Logged, days_before(), st.sampled_from(keys), st.integers(0, 60)),
            max_size=6,
        )
    )
    off = draw(st.sampled_from((0, 0, 0, 6, 7, 12)))
    return History(
        logged=tuple(logged),
        left_out=tuple(sorted(draw(st.sets(st.sampled_from(keys), max_size=4)))),
        days_off=tuple(START - dt.timedelta(days=n + 1) for n in range(off)),
    )


@st.composite
def weeks(draw: st.DrawFn) -> WeekInputs:
    """Sound inputs without pins."""
    routine = draw(routines())
    in_hand = draw(pieces())
    inputs = WeekInputs(
        days=draw(week_days(len(routine.sessions))),
        routine=routine,
        scale=draw(st.sampled_from((ScaleIn(1, "G major", 60, 88), ScaleIn(1, "D minor"), None))),
        etude=draw(st.sampled_from((EtudeIn(1, "Etude"), EtudeIn(1, "Etude"), None))),
        pieces=in_hand,
        spots=draw(spots(len(in_hand))),
        favourites=tuple(
            FavouriteIn(n, f"Favourite {n}", draw(st.none() | days_before()))
            for n in range(draw(st.integers(0, 3)))
        ),
        explore=draw(st.sampled_from((ExploreIn("Two voices"), None))),
    )
    return replace(inputs, history=draw(histories(tuple(known_keys(inputs)))))


@st.composite
def pinned_weeks(draw: st.DrawFn) -> WeekInputs:
    """Sound inputs with pins, which may contradict each other."""
    inputs = draw(weeks())
    dates = st.sampled_from([day.date for day in inputs.days])
    keys = st.sampled_from(tuple(known_keys(inputs)))
    part = st.sampled_from(Part)
    pins = Pins(
        items=tuple(draw(st.lists(st.builds(PinnedItem, keys, dates), max_size=3))),
        forbidden=tuple(
            draw(st.lists(st.builds(ForbiddenPart, part, st.none() | dates), max_size=2))
        ),
        fixed=tuple(draw(st.lists(st.builds(FixedMinutes, part, st.integers(1, 30)), max_size=2))),
        free=tuple(
            FreeItem(n, f"Free {n}", draw(st.integers(1, 20)), draw(st.none() | dates))
            for n in range(draw(st.integers(0, 2)))
        ),
    )
    return replace(inputs, pins=pins)


@st.composite
def wild_weeks(draw: st.DrawFn) -> WeekInputs:
    """Anything the types allow, far outside every range."""
    wild = st.integers(-5000, 5000)
    dates = st.integers(-20, 20).map(lambda n: START + dt.timedelta(days=n))
    times = st.none() | st.sampled_from(session_starts)
    part = st.sampled_from(Part)
    inputs = draw(pinned_weeks())
    return replace(
        inputs,
        days=tuple(
            draw(
                st.lists(
                    st.builds(
                        DayIn,
                        dates,
                        wild | budgets,
                        st.booleans(),
                        st.booleans(),
                        st.none() | st.lists(st.integers(-1, 5), max_size=4).map(tuple),
                    ),
                    max_size=9,
                )
            )
        ),
        routine=Routine(
            tuple(draw(st.lists(st.builds(SessionIn, st.text(max_size=4), times), max_size=5))),
            draw(wild),
            draw(wild),
            draw(wild),
        ),
        pieces=tuple(
            draw(
                st.lists(
                    st.builds(PieceIn, wild, st.integers(0, 4), st.text(max_size=3)), max_size=4
                )
            )
        ),
        spots=tuple(
            draw(
                st.lists(
                    st.builds(
                        SpotIn,
                        st.integers(1, 4),
                        st.integers(-1, 3),
                        st.text(max_size=3),
                        st.sampled_from(SpotState),
                        wild,
                        wild,
                        wild,
                        st.none() | dates,
                    ),
                    max_size=5,
                )
            )
        ),
        history=History(
            tuple(draw(st.lists(st.builds(Logged, dates, st.text(max_size=5), wild), max_size=5))),
            tuple(draw(st.lists(st.text(max_size=5), max_size=3))),
            tuple(draw(st.lists(dates, max_size=20))),
        ),
        pins=replace(
            inputs.pins,
            fixed=tuple(draw(st.lists(st.builds(FixedMinutes, part, wild), max_size=4))),
            free=tuple(
                draw(
                    st.lists(
                        st.builds(
                            FreeItem,
                            st.integers(1, 2),
                            st.text(max_size=3),
                            wild,
                            st.none() | dates,
                        ),
                        max_size=3,
                    )
                )
            ),
        ),
    )
