"""Words are compared without case and accents, as people type them."""

from __future__ import annotations

import pytest

from studio.web.search import folded, holds_all, typed_words


@pytest.mark.parametrize(
    ("text", "plain"),
    [
        ("Dvořák", "dvorak"),
        ("ŁUCJA", "lucja"),
        ("Søren Ægir", "soren aegir"),
        ("Đức", "duc"),
        ("Yıldız İpek", "yildiz ipek"),
        ("Nguyễn Bảo Châu", "nguyen bao chau"),
        ("Weiß", "weiss"),
        ("נועם", "נועם"),
        ("🎻", "🎻"),
    ],
)
def test_letters_lose_case_and_accents(text: str, plain: str) -> None:
    assert folded(text) == plain


def test_every_word_must_occur_somewhere() -> None:
    assert holds_all("chau mai", "Nguyễn Bảo Châu", "Trần Mai")
    assert not holds_all("chau anna", "Nguyễn Bảo Châu", "Trần Mai")
    assert holds_all("", "anything")


def test_what_was_typed_becomes_one_line_of_a_length() -> None:
    assert typed_words("  a\n\tb\x00 ") == "a b"
    assert typed_words(None) == ""
    assert len(typed_words("x" * 500)) == 100
