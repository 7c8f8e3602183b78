"""Numbers inside sentences have the sign of the language before their tenths."""

from django.utils import translation

from studio.language.numbers import number


def test_tenths_follow_the_sign_of_the_language() -> None:
    assert number(7.5, "+.1f") == "+7.5"
    with translation.override("de"):
        assert number(7.5, "+.1f") == "+7,5"
        assert number(7.5, ".0f") == "8"
