from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from practice.music.errors import BadRhythm
from practice.music.rhythm import Metre, Value, fill, parse_metre, parse_value, single_value

values = st.builds(
    Value,
    st.sampled_from([1, 2, 4, 8, 16, 32]),
    st.integers(0, 2),
    st.sampled_from([(1, 1), (3, 2), (5, 4), (2, 3)]),
    st.booleans(),
)


@given(values)
def test_code_is_read_back(value: Value) -> None:
    assert parse_value(value.code) == value


@pytest.mark.parametrize(
    ("code", "quarters"), [("4", "1"), ("8.", "3/4"), ("8t", "1/3"), ("2.", "3"), ("r4", "1")]
)
def test_lengths(code: str, quarters: str) -> None:
    assert parse_value(code).quarters == Fraction(quarters)


@pytest.mark.parametrize("code", ["", "7", "8...", "x", "8t1:1", "-4"])
def test_what_is_no_value_is_named(code: str) -> None:
    with pytest.raises(BadRhythm, match="“"):
        parse_value(code)


@given(values)
def test_a_plain_length_gives_back_its_value(value: Value) -> None:
    plain = value.quarters * Fraction(*value.tuplet)
    assert single_value(plain, value.tuplet, rest=value.rest) == value


def test_filling_a_length_uses_the_fewest_values() -> None:
    assert [v.code for v in fill(Fraction(5, 2))] == ["2", "8"]
    assert [v.code for v in fill(Fraction(3))] == ["2."]
    with pytest.raises(BadRhythm, match="tuplet"):
        fill(Fraction(1, 3))


def test_metres_know_their_bar_and_beat() -> None:
    assert parse_metre("6/8") == Metre(6, 8)
    assert (Metre(6, 8).bar, Metre(6, 8).beat) == (Fraction(3), Fraction(3, 2))
    assert (Metre(3, 4).bar, Metre(3, 4).beat) == (Fraction(3), Fraction(1))
    assert (parse_metre("C").text, parse_metre("C|").text) == ("4/4", "2/2")


@pytest.mark.parametrize("text", ["", "3", "3/5", "0/4", "99/4"])
def test_what_is_no_metre_is_named(text: str) -> None:
    with pytest.raises(BadRhythm, match=f"“{text}” is not a metre"):
        parse_metre(text)
