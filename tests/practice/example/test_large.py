"""Larger studios for measuring: more students than the cast, and years of history."""

import datetime as dt
from dataclasses import replace

import pytest

from practice.example import build
from practice.example.cast import LATE, load_cast
from practice.example.invented import (
    MOST_STUDENTS,
    Shelf,
    TooMany,
    more_households,
    with_earlier_years,
)
from practice.models import Assignment, Item, LogEntry
from studio.models import Student, Studio
from tests import factories

CAST = load_cast().households
SHELF = Shelf(
    pieces=[(1 + number % 9, f"piece {number}") for number in range(50)],
    etudes=[(1 + number % 9, f"etude {number}") for number in range(40)],
)


@pytest.mark.parametrize("seed", range(5))
def test_more_students_have_names_and_hours_of_their_own(seed: int) -> None:
    more = more_households(MOST_STUDENTS - 24, CAST, 0, SHELF, seed)
    pupils = [pupil for each in (*CAST, *more) for pupil in each.students]
    assert len(pupils) == MOST_STUDENTS
    assert len({pupil.key for pupil in pupils}) == MOST_STUDENTS
    hours = {(pupil.day, pupil.time) for pupil in pupils}
    assert len(hours) == MOST_STUDENTS - 1  # the twins share theirs


def test_more_students_than_hours_are_refused() -> None:
    with pytest.raises(TooMany):
        more_households(200, CAST, 0, SHELF, 1)


def test_earlier_years_put_two_pieces_in_hand_and_never_a_third() -> None:
    pupil = next(p for each in CAST for p in each.students if p.key == "matilde")
    long = with_earlier_years(pupil, -400, SHELF, 1)
    assert len(long.pieces) > 40
    for week in range(-400, 1):
        assert sum(step.since <= week < step.until for step in long.pieces) <= 2
    assert {step.until for step in long.pieces} >= {LATE}


def test_earlier_years_begin_with_the_first_lesson() -> None:
    pupil = next(p for each in CAST for p in each.students if p.key == "caio")
    assert with_earlier_years(pupil, -400, SHELF, 1) == pupil


def test_years_of_history_are_written(db: None, monkeypatch: pytest.MonkeyPatch) -> None:
    few = replace(load_cast(), households=CAST[-1:])
    monkeypatch.setattr(build, "load_cast", lambda: few)
    studio: Studio = factories.StudioFactory.create()
    written = build.build_example(studio, dt.date(2026, 11, 25), students=3, years=2)
    assert Student.objects.of(studio).count() == 3
    assert written.items == Item.objects.count()
    assert written.entries == LogEntry.objects.count()
    oldest = Assignment.objects.earliest("starts").starts
    assert oldest < dt.date(2025, 1, 1)
    assert all(count >= 2 for count in pieces_of(studio))


def pieces_of(studio: Studio) -> list[int]:
    return [student.pieces.count() for student in Student.objects.of(studio)]
