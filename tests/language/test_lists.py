"""Lists inside sentences, with the small word of the language."""

import pytest
from django.utils import translation

from studio.language.lists import listed


@pytest.mark.parametrize(
    ("words", "english", "german"),
    [
        ([], "", ""),
        (["Bach"], "Bach", "Bach"),
        (["Bach", "Biber"], "Bach and Biber", "Bach und Biber"),
        (["Bach", "Biber", "Vivaldi"], "Bach, Biber and Vivaldi", "Bach, Biber und Vivaldi"),
    ],
)
def test_the_last_one_follows_the_word_of_the_language(
    words: list[str], english: str, german: str
) -> None:
    assert listed(words) == english
    with translation.override("de"):
        assert listed(words) == german
