"""The example's score: its bars are those its spots were made from."""

from __future__ import annotations

import tomllib

import pytest

from practice.engraving.reading import read_score
from practice.example.scores import FILE, ROCKING, TITLE, give_scores
from practice.models import Bowing, Score
from practice.music.abc_bar import read_abc
from practice.music.bowings import pattern_from_json
from practice.music.keys import parse_key
from practice.music.score import excerpt
from studio.models import Studio
from tests.factories import DAY, WorkFactory

PIECES = tomllib.loads((FILE.parent / "pieces.toml").read_text(encoding="utf-8"))


def test_a_score_and_a_bowing_of_her_own_are_given(studio: Studio) -> None:
    work = WorkFactory.create(studio=studio, title=TITLE, catalogue_key="")
    give_scores(studio, DAY)
    score = Score.objects.get()
    assert (score.work, score.bars, score.name) == (work, 16, "nine-crows.abc")
    pattern = pattern_from_json(Bowing.objects.get().pattern)
    assert pattern.code == ROCKING


@pytest.mark.parametrize("spot", PIECES["crows"]["spots"], ids=lambda spot: str(spot["bars"]))
def test_the_spots_are_bars_of_the_score(spot: dict[str, object]) -> None:
    music = read_score(FILE.read_bytes())
    first, last = (str(bar) for bar in spot["bars"])  # type: ignore[attr-defined]
    bars = excerpt(music, first, last)
    written = read_abc(f"M:2/4\nL:1/8\nK:Am\n{spot['abc']}", parse_key("A minor"))
    assert [note.pitch for note in bars.notes] == [note.pitch for note in written.notes]
    assert [note.value for note in bars.notes] == [note.value for note in written.notes]
