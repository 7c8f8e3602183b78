"""Bars typed in ABC: kept with the key they stand in, refused with their place."""

from __future__ import annotations

import pytest

from practice.music.errors import MusicError
from practice.repertoire.excerpts import picture_of, read_bars


def test_bars_without_a_key_stand_in_the_key_of_the_work() -> None:
    assert read_bars("[M:3/4] d2 GA Bc", "B flat minor") == "K:Bbm\n[M:3/4] d2 GA Bc"
    assert "B flat minor" in picture_of(read_bars("d2", "B flat minor")).alt


def test_a_key_that_was_typed_stays() -> None:
    assert read_bars("K:D\r\nd2 f2", "G major") == "K:D\nd2 f2"


@pytest.mark.parametrize("typed", ["", "  \r\n "])
def test_nothing_typed_is_no_excerpt(typed: str) -> None:
    assert read_bars(typed, "G major") == ""


def test_the_place_of_a_mistake_is_counted_in_what_was_typed() -> None:
    with pytest.raises(MusicError, match="“q” at character 4"):
        read_bars("d2 q", "G major")
