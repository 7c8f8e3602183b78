"""What speaks for moving on: counted, drawn out, and never more than the data hold."""

from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from practice.figures.evidence import HeardLesson, TempoPoint, evidence, tempo_evidence

TODAY = dt.date(2026, 11, 25)
STEADY = HeardLesson(TODAY, (3, 3, 3), 80, with_bowings=True)


def ago(days: int) -> dt.date:
    return TODAY - dt.timedelta(days=days)


def climbing(days: int = 28, step: int = 2, pace: float = 0.5, now: float = 70) -> list[TempoPoint]:
    """Tempos every `step` days that reach `now` today at `pace` a day."""
    return [TempoPoint(ago(n), round(now - pace * n)) for n in range(0, days + 1, step)]


def test_weeks_days_and_lessons_count_from_the_day_it_was_begun() -> None:
    found = evidence(
        since=ago(20),
        today=TODAY,
        practised=[ago(30), ago(20), ago(3), ago(3), ago(0), ago(-2)],
        lessons=[HeardLesson(ago(25)), HeardLesson(ago(14)), HeardLesson(ago(7))],
        tempos=[],
        goal=None,
    )
    assert (found.weeks, found.practice_days, found.lessons) == (2, 3, 2)
    assert found.tempo is None
    assert found.words == (
        "2 weeks, 3 practice days.",
        "Steady at 0 of the 2 lessons running you ask for.",
    )


@pytest.mark.parametrize(
    ("lessons", "running"),
    [
        ([], 0),
        ([(3, 3)], 1),
        ([(2, 3), (3, 3), (3,)], 2),
        ([(3, 3), (3, 3), (3, 2)], 0),
        ([(3, 3), ()], 0),
    ],
)
def test_steady_lessons_count_back_from_the_last(
    lessons: list[tuple[int, ...]], running: int
) -> None:
    heard = [
        HeardLesson(ago(7 * (len(lessons) - n)), grades, 80, with_bowings=True)
        for n, grades in enumerate(lessons)
    ]
    found = evidence(ago(90), TODAY, [], heard, [], goal=80)
    assert found.steady_running == running


@pytest.mark.parametrize(
    "lesson",
    [
        HeardLesson(TODAY, (3, 3), 79, with_bowings=True),
        HeardLesson(TODAY, (3, 3), None, with_bowings=True),
        HeardLesson(TODAY, (3, 3), 80, with_bowings=False),
    ],
)
def test_steady_wants_the_tempo_and_the_chosen_bowings_too(lesson: HeardLesson) -> None:
    assert evidence(ago(90), TODAY, [], [STEADY], [], goal=80).steady_running == 1
    assert evidence(ago(90), TODAY, [], [lesson], [], goal=80).steady_running == 0


@pytest.mark.parametrize(
    ("points", "days"),
    [
        ([], 0),
        (climbing(8), 5),
        (climbing(5, step=1), 6),
        ([TempoPoint(ago(3), bpm) for bpm in range(60, 80)], 1),
        ([TempoPoint(ago(80 + n), 60) for n in range(20)], 0),
    ],
)
def test_too_few_tempos_are_told_and_nothing_is_shown(points: list[TempoPoint], days: int) -> None:
    found = tempo_evidence(points, 90, TODAY)
    assert found.days == days
    assert "too few for a trend" in found.words
    assert [found.now, found.a_week, found.low, found.high, found.earliest, found.latest] == (
        [None] * 6
    )


def test_a_steady_climb_says_when() -> None:
    found = tempo_evidence(climbing(), 84, TODAY, recital=dt.date(2027, 1, 15))
    assert found.a_week == pytest.approx(3.5, abs=0.2)
    assert found.now == pytest.approx(70, abs=1)
    # 14 beats at half a beat a day are 28 days, and some more because learning slows.
    assert found.earliest is not None
    assert found.latest is not None
    assert ago(-20) <= found.earliest <= ago(-28) <= found.latest
    assert found.words.startswith("Tempo about 70, +3.5 a week")
    assert found.words.endswith("The recital is on 15 January 2027.")


def test_slope_and_level_are_those_of_scipy() -> None:
    tempos = [60, 58, 63, 66, 63, 69, 66, 72, 69, 76, 72, 76]
    points = [TempoPoint(ago(40 - 3 * n), bpm) for n, bpm in enumerate(tempos)]
    theirs = stats.theilslopes(tempos, [3 * n - 40 for n in range(len(tempos))], method="joint")
    found = tempo_evidence(points, 90, TODAY)
    assert found.a_week == pytest.approx(7 * theirs.slope)
    assert found.now == pytest.approx(theirs.intercept)


def test_several_tempos_of_a_day_count_once_by_their_median() -> None:
    noisy = [TempoPoint(each.date, each.bpm + more) for each in climbing() for more in (-30, 0, 30)]
    assert tempo_evidence(noisy, 84, TODAY) == tempo_evidence(climbing(), 84, TODAY)


@pytest.mark.parametrize(
    ("points", "sentence"),
    [
        (climbing(now=90), "The goal is reached."),
        (climbing(pace=-0.5), "It is not rising, so no day is foreseen."),
        (climbing(pace=0), "It is not rising, so no day is foreseen."),
        (climbing(now=50, pace=0.07), "At this pace it is more than a year away."),
    ],
)
def test_where_no_day_can_be_told_none_is(points: list[TempoPoint], sentence: str) -> None:
    found = tempo_evidence(points, 84, TODAY)
    assert found.words.endswith(sentence)
    assert (found.earliest, found.latest) == (None, None)
    assert found.now is not None


def test_a_wavering_tempo_leaves_the_end_open() -> None:
    tempos = [60, 66, 58, 69, 60, 72, 58, 69, 60, 72]
    points = [TempoPoint(ago(36 - 4 * n), bpm) for n, bpm in enumerate(tempos)]
    found = tempo_evidence(points, 84, TODAY)
    assert found.earliest is not None
    assert found.latest is None
    assert "until when cannot be told" in found.words


@given(
    st.lists(st.tuples(st.integers(-80, 5), st.integers(20, 300)), max_size=40),
    st.integers(20, 300),
)
def test_whatever_is_logged_the_range_lies_ahead_and_in_order(
    played: list[tuple[int, int]], goal: int
) -> None:
    points = [TempoPoint(TODAY + dt.timedelta(days=day), bpm) for day, bpm in played]
    found = tempo_evidence(points, goal, TODAY)
    assert found.words
    if found.earliest is not None:
        assert TODAY <= found.earliest <= TODAY + dt.timedelta(days=365)
        assert found.now is not None
        assert found.now < goal
    if found.latest is not None:
        assert found.earliest is not None
        assert found.earliest <= found.latest <= TODAY + dt.timedelta(days=365)
