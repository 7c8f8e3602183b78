"""Generated studios: every kind of student's week, from one minute to four hours a day."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
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
NAMES = ("Before school", "After school", "Evening")
STARTS = (dt.time(7, 10), dt.time(15, 30), dt.time(19))
HELD: tuple[tuple[int, ...] | None, ...] = (None, (1,), (2,), (3,), (1, 2), (1, 3), (2, 3))

# Short, usual and long days about equally often, and days off.
budgets = st.one_of(st.integers(0, 12), st.integers(13, 60), st.integers(61, 240))
parts = st.sampled_from(Part)
days_ago = st.integers(1, 40).map(lambda n: START - dt.timedelta(days=n))
around = st.integers(-20, 20).map(lambda n: START + dt.timedelta(days=n))
wild = st.integers(-5000, 5000)


def _routine(sessions: int, timed: bool, after: int, minutes: int) -> Routine:
    held = (SessionIn(NAMES[n], STARTS[n] if timed else None) for n in range(sessions))
    return Routine(tuple(held), after, minutes)


def _days(
    minutes: Sequence[int], lesson: int, held: tuple[int, ...] | None, sessions: int
) -> tuple[DayIn, ...]:
    """One day may be the lesson's, which may take the place of a session."""
    possible = None if held is None else tuple(n for n in held if n <= sessions) or None
    return tuple(
        DayIn(
            START + dt.timedelta(days=n),
            budget,
            lesson=n == lesson,
            off=not budget,
            sessions=possible if n == lesson else None,
        )
        for n, budget in enumerate(minutes)
    )


def _spots(
    fields: Sequence[tuple[int, SpotState, int, dt.date | None]], pieces: int
) -> list[SpotIn]:
    return [
        SpotIn(n, min(piece, pieces), f"bar {n}", state, 60, 90, hardness, last)
        for n, (piece, state, hardness, last) in enumerate(fields, 1)
        if pieces
    ]


spot_fields = st.tuples(
    st.integers(1, 2), st.sampled_from(SpotState), st.integers(1, 4), st.none() | days_ago
)
piece_fields = st.tuples(st.sampled_from(Stage), st.none() | st.integers(0, 4))


@st.composite
def weeks(draw: st.DrawFn) -> WeekInputs:
    """Sound inputs without pins."""
    routine = draw(routines)
    pieces = tuple(
        PieceIn(n, n, f"Piece {n}", stage, every)
        for n, (stage, every) in enumerate(draw(piece_lists), 1)
    )
    inputs = WeekInputs(
        days=_days(*draw(day_fields), len(routine.sessions)),
        routine=routine,
        scale=draw(scales),
        etude=draw(etudes),
        pieces=pieces,
        spots=tuple(_spots(draw(spot_lists), len(pieces))),
        favourites=tuple(
            FavouriteIn(n, f"Favourite {n}", played) for n, played in enumerate(draw(played_lists))
        ),
        explore=draw(ideas),
    )
    keys = list(known_keys(inputs))
    logged, left_out, off = draw(pasts)
    history = History(
        logged=tuple(Logged(day, keys[n % len(keys)], minutes) for day, n, minutes in logged),
        left_out=tuple(sorted({keys[n % len(keys)] for n in left_out})),
        days_off=tuple(START - dt.timedelta(days=n + 1) for n in range(off)),
    )
    return replace(inputs, history=history)


routines = st.builds(
    _routine, st.integers(1, 3), st.booleans(), st.integers(10, 90), st.integers(1, 30)
)
day_fields = st.tuples(
    st.lists(budgets, min_size=1, max_size=7), st.integers(0, 13), st.sampled_from(HELD)
)
scales = st.sampled_from((ScaleIn(1, "G major", 60, 88), ScaleIn(1, "D minor"), None))
etudes = st.sampled_from((EtudeIn(1, "Etude"), EtudeIn(1, "Etude"), None))
ideas = st.sampled_from((ExploreIn("Two voices"), None))
piece_lists = st.lists(piece_fields, max_size=2)
spot_lists = st.lists(spot_fields, max_size=6)
played_lists = st.lists(st.none() | days_ago, max_size=3)
pasts = st.tuples(
    st.lists(st.tuples(days_ago, st.integers(0, 20), st.integers(0, 60)), max_size=6),
    st.lists(st.integers(0, 20), max_size=4),
    st.sampled_from((0, 0, 0, 6, 7, 12)),
)


@st.composite
def pinned_weeks(draw: st.DrawFn) -> WeekInputs:
    """Sound inputs with pins, which may contradict each other."""
    inputs = draw(weeks())
    keys = list(known_keys(inputs))
    dates = [day.date for day in inputs.days]
    items, forbidden, fixed, free = draw(pin_fields)
    pins = Pins(
        items=tuple(PinnedItem(keys[k % len(keys)], dates[d % len(dates)]) for k, d in items),
        forbidden=tuple(
            ForbiddenPart(part, None if d == 7 else dates[d % len(dates)]) for part, d in forbidden
        ),
        fixed=tuple(FixedMinutes(part, minutes) for part, minutes in fixed),
        free=tuple(
            FreeItem(n, f"Free {n}", minutes, None if d == 7 else dates[d % len(dates)])
            for n, (minutes, d) in enumerate(free)
        ),
    )
    return replace(inputs, pins=pins)


pin_fields = st.tuples(
    st.lists(st.tuples(st.integers(0, 20), st.integers(0, 6)), max_size=3),
    st.lists(st.tuples(parts, st.integers(0, 7)), max_size=2),
    st.lists(st.tuples(parts, st.integers(1, 30)), max_size=2),
    st.lists(st.tuples(st.integers(1, 20), st.integers(0, 7)), max_size=2),
)


def wild_weeks() -> st.SearchStrategy[WeekInputs]:
    """Anything the types allow, far outside every range."""
    return st.builds(
        WeekInputs,
        days=_many(wild_days, 9),
        routine=st.builds(Routine, _many(wild_sessions, 5), wild, wild, wild),
        scale=st.none() | st.builds(ScaleIn, wild, text, st.none() | wild, st.none() | wild),
        etude=etudes,
        pieces=_many(wild_pieces, 4),
        spots=_many(wild_spots, 5),
        favourites=_many(st.builds(FavouriteIn, few, text, st.none() | around), 4),
        explore=ideas,
        history=st.builds(
            History,
            _many(st.builds(Logged, around, text, wild), 5),
            _many(text, 3),
            _many(around, 20),
        ),
        pins=st.builds(
            Pins,
            _many(st.builds(PinnedItem, keys, around), 4),
            _many(st.builds(ForbiddenPart, parts, st.none() | around), 4),
            _many(st.builds(FixedMinutes, parts, wild), 4),
            _many(st.builds(FreeItem, few, text, wild, st.none() | around), 3),
        ),
    )


def _many(each: st.SearchStrategy[object], most: int) -> st.SearchStrategy[tuple[object, ...]]:
    return st.lists(each, max_size=most).map(tuple)


text = st.text(max_size=4)
few = st.integers(-1, 4)
keys = st.sampled_from(("etude:1", "spot:1", "run:2", "favourite:1", "explore", "scale:1", "no"))
wild_days = st.builds(
    DayIn,
    around,
    wild | budgets,
    st.booleans(),
    st.booleans(),
    st.none() | st.lists(st.integers(-1, 5), max_size=4).map(tuple),
)
wild_sessions = st.builds(SessionIn, text, st.none() | st.sampled_from(STARTS))
wild_pieces = st.builds(PieceIn, few, few, text, st.sampled_from(Stage), st.none() | wild)
wild_spots = st.builds(
    SpotIn, few, few, text, st.sampled_from(SpotState), wild, wild, wild, st.none() | around
)
