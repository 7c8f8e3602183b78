"""Names found as words of their own, however they are written."""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.erasing.traces import Finder, around, flat, parts, pattern, strings, without


@pytest.mark.parametrize(
    ("term", "text", "left"),
    [
        ("Imani", "Imani’s bow hand; imani, IMANI.", "…’s bow hand; …, …."),
        ("Imani", "Imanis Bogen", "… Bogen"),
        ("Imani", "Imanique stays", "Imanique stays"),
        ("Tomás", "Tomas called; Toma\u0301s too", "… called; … too"),
        ("Okonkwo-Reyes", "the Okonkwo-Reyes twins", "the … twins"),
        ("tomas@example.org", "write to Tomas@Example.org!", "write to …!"),
        ("+351 21 555 01 02", "ring +351215550102 or +351 (21) 555-0102", "ring … or …"),
        ("Lî", "Lî and Liisa", "… and Liisa"),
        ("a.b", "a.b axb", "… axb"),
        ("Thị", "Thị plays this for Thi", "… plays this for …"),
    ],
)
def test_what_is_taken_out(term: str, text: str, left: str) -> None:
    assert without(text, [pattern(term)]) == left


def test_longer_and_shorter_names_together() -> None:
    terms = ["Imani Okonkwo-Reyes", "Okonkwo-Reyes", "Okonkwo", "Imani"]
    found = [pattern(term) for term in terms]
    assert without("Imani Okonkwo-Reyes and Okonkwo", found) == "… and …"


def test_json_is_walked_and_keeps_its_shape() -> None:
    value = {"title": ["for Imani", 3, None, {"x": "Imani"}], "Imani": True}
    left = {"title": ["for …", 3, None, {"x": "…"}], "Imani": True}
    assert without(value, [pattern("Imani")]) == left
    assert sorted(strings(value)) == ["Imani", "for Imani"]
    assert strings("Imani") == ["Imani"]
    assert strings(None) == []


def test_a_finder_forgets_what_it_remembers_before_it_grows(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(Finder, "AT_MOST", 3)
    finder = Finder([pattern("Imani"), pattern("Okonkwo")])
    for number in (1, 2, 3, 4, 5, 1, 2):
        assert not finder.finds(f"Imanique {number}")
    for text in ("for IMANI", "Okonkwos bow", "for IMANI"):
        assert finder.finds(text)
    assert not Finder([]).finds("Imani")


def test_the_parts_of_a_name() -> None:
    assert parts("Ana van der Berg-Li") == ["Ana van der Berg-Li", "Ana", "Berg"]
    assert parts("Nguyễn Thế Văn Bảo") == ["Nguyễn Thế Văn Bảo", "Nguyễn", "Bảo"]


def test_the_words_around_it() -> None:
    text = "x" * 60 + " Imani " + "y" * 60
    assert around(text, pattern("Imani")) == "…" + "x" * 39 + " Imani " + "y" * 39 + "…"


@given(st.text(), st.text(min_size=1).filter(str.strip))
def test_nothing_of_it_is_left_and_places_stay(text: str, term: str) -> None:
    found = [pattern(term)]
    assert len(flat(text)) == len(unicodedata.normalize("NFC", text))
    assert not Finder(found).finds(without(text, found)) or "…" in flat(term)
