"""First sentences hold figures of the rows and nothing else."""

import re

import pytest

from practice.figures.lesson_fates import LessonFate
from practice.figures.tempo_lines import TempoLine, WeekTempo
from practice.reports.data import hours
from practice.reports.starters import starters
from tests.practice.reports.material import report_data


def sentences(**changes: object) -> dict[str, str]:
    return {each.key: each.text for each in starters(report_data(**changes))}


def test_each_sentence_has_the_figures() -> None:
    # 12 weeks of 128 minutes are 1536 = 25 h 36 min; 12 weeks of 145 are 1740 = 29 h.
    assert sentences() == {
        "lessons": "Of 12 lessons this term: 10 kept, 1 made up, 1 missed.",
        "practice": "Imani practised 25 h 36 min at home, in 12 weeks, of 29 h planned.",
        "keys": "Imani learnt G major and E minor and is now in C major.",
        "tempo-0": "Minuet in G, bar 3 went from 44 to 80 beats a minute"
        " and reached its goal of 80.",
        "tempo-1": "Tram Number Nine, bar 5 went from 52 to 64 beats a minute; its goal is 72.",
        "pieces": "Ode to Joy is finished.",
        "next": "We are going on with Minuet in G.",
    }


def test_without_rows_there_is_no_sentence() -> None:
    empty = {"lessons": (), "weeks": (), "keys": (), "tempos": (), "finished": (), "in_hand": ()}
    assert sentences(**empty) == {}


def test_no_sentence_judges() -> None:
    judging = r"\b(good|well|great|best|bad|poor|should|proud|excellent|hard|improved)\b"
    every = [
        *sentences().values(),
        *sentences(lessons=(LessonFate.KEPT,) * 4).values(),
        *sentences(tempos=(TempoLine("A", "", 90, (WeekTempo(1, 80), WeekTempo(2, 60))),)).values(),
    ]
    assert [each for each in every if re.search(judging, each, re.IGNORECASE)] == []


@pytest.mark.parametrize(
    ("tempos", "words"),
    [
        ((46, 46), "Minuet, bar 3 stayed at 46 beats a minute; its goal is 58."),
        ((46, 52, 46), "Minuet, bar 3 was between 46 and 52 beats a minute; its goal is 58."),
        ((52, 46), "Minuet, bar 3 went from 52 to 46 beats a minute; its goal is 58."),
    ],
)
def test_a_tempo_that_ends_where_it_began_went_nowhere(tempos: tuple[int, ...], words: str) -> None:
    told = tuple(WeekTempo(week, bpm) for week, bpm in enumerate(tempos, 1))
    line = TempoLine("Minuet", "bar 3", 58, told)
    assert sentences(tempos=(line,))["tempo-0"] == words


def test_who_kept_every_lesson() -> None:
    assert sentences(lessons=(LessonFate.KEPT,) * 4)["lessons"] == "Imani came to all 4 lessons."


@pytest.mark.parametrize(
    ("minutes", "words"), [(0, "0 min"), (35, "35 min"), (60, "1 h"), (1490, "24 h 50 min")]
)
def test_hours(minutes: int, words: str) -> None:
    assert hours(minutes) == words
