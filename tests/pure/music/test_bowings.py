import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from practice.music.bowing_list import BOWINGS, bowing, find_bowing
from practice.music.bowings import (
    Pattern,
    bow_directions,
    doubled,
    parse_pattern,
    pattern_from_json,
)
from practice.music.errors import BadRhythm, MusicError

ROWS = [
    row.split(";")
    for row in (Path(__file__).parent / "data" / "bowings.csv").read_text().splitlines()[3:]
]


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row[0])
def test_the_26_bowings_hold_the_trades_data(row: list[str]) -> None:
    slug, values, slurs, string, quarters, strokes, same_bow = row
    pattern = bowing(slug)
    assert " ".join(value.code for value in pattern.values) == values
    assert " ".join(map(str, pattern.slurs)) == slurs
    assert pattern.on_string == (string == "on")
    assert pattern.quarters == int(quarters)
    assert len(pattern.slurs) == int(strokes)
    assert pattern.turns_round == (same_bow == "no")


def test_there_are_26_each_with_a_name_of_its_own() -> None:
    assert len(BOWINGS) == 26
    assert len({p.slug for p in BOWINGS}) == len({p.name for p in BOWINGS}) == 26
    assert all(p.trade_name and p.quarters % p.metre.bar in (0, 1) for p in BOWINGS)


@st.composite
def patterns(draw: st.DrawFn) -> Pattern:
    counts = draw(st.lists(st.integers(1, 4), min_size=1, max_size=6))
    marks = st.sampled_from(["", "s", "n", "w", "a"])
    tokens = []
    for stroke, count in enumerate(counts):
        notes = [
            draw(st.sampled_from(["4", "8", "8.", "16", "8t"])) + draw(marks) for _ in range(count)
        ]
        same = "=" if stroke and draw(st.booleans()) else ""
        text = " ".join(notes)
        tokens.append(same + (f"({text})" if count > 1 else text))
        if draw(st.booleans()):
            tokens.append("r4")
    start = draw(st.sampled_from(["", "up "]))
    tail = draw(st.sampled_from(["", " off", " x2", " off x4"]))
    return parse_pattern(
        f"{draw(st.sampled_from(['2/4', '3/4', '6/8']))} {start}{' '.join(tokens)}{tail}"
    )


@given(patterns())
def test_code_address_and_json_are_read_back(pattern: Pattern) -> None:
    assert parse_pattern(pattern.code) == pattern
    assert parse_pattern(pattern.path) == pattern
    assert pattern_from_json(json.loads(json.dumps(pattern.as_json()))) == pattern


@given(patterns())
def test_repeated_the_pattern_turns_round_exactly_when_it_says_so(pattern: Pattern) -> None:
    same = [*pattern.same_bow, *(s + len(pattern.slurs) for s in pattern.same_bow if s)]
    twice = bow_directions(pattern.start, 2 * len(pattern.slurs), same)
    assert (twice[len(pattern.slurs)] != pattern.start) == pattern.turns_round


def test_bows_alternate_unless_told_to_go_on() -> None:
    pattern = parse_pattern("3/4 4 4 =4")
    assert pattern.directions == ("down", "up", "up")
    assert not parse_pattern("3/4 4 4 =4").turns_round
    assert parse_pattern("3/4 up 4 4 4").directions == ("up", "down", "up")


@pytest.mark.parametrize(
    ("code", "words"),
    [
        ("", "empty"),
        ("5/9 8 8", "“5/9” is not a metre"),
        ("2/4 8 8 9", "“9”"),
        ("2/4 (8 8", "never closed"),
        ("2/4 ((8 8)", "“\\(\\(8”"),
        ("2/4 (8 (8 8))", "opened twice|cannot be read"),
        ("2/4 (8 r8 8)", "rest stands under a slur"),
        ("2/4", "this one has 0"),
        ("2/4 r4 r4", "this one has 0"),
        ("2/4 " + "16 " * 33, "this one has 33"),
        ("2/4 8 8 x9", "9 times"),
    ],
)
def test_a_bad_pattern_is_refused_in_words(code: str, words: str) -> None:
    with pytest.raises(BadRhythm, match=words):
        parse_pattern(code)


def test_a_pattern_knows_its_equal_parts() -> None:
    assert bowing("slur4").repeats == 2
    assert bowing("2s2d").repeats == 1
    assert bowing("slur4").part(1, 2).code == "4/4 (8 8 8 8)"


def test_twice_as_fast_plays_the_bowing_twice() -> None:
    fast = doubled(bowing("2s2d"))
    assert fast.code == "2/4 (16 16) 16 16 (16 16) 16 16"
    assert fast.quarters == bowing("2s2d").quarters


def test_bowings_are_found_by_slug_or_code() -> None:
    assert find_bowing("slur2") is bowing("slur2")
    assert find_bowing("3-4_4_(8_8)_(8_8)").code == "3/4 4 (8 8) (8 8)"
    with pytest.raises(MusicError, match="“nothing” is not one of the bowings"):
        bowing("nothing")
