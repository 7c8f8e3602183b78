import pytest
from hypothesis import given
from hypothesis import strategies as st

from practice.sheets.words import (
    parted,
    reading_direction,
    shortened,
    stressed,
    without_pictures,
)

TEXT = st.text(alphabet=st.sampled_from("abc .,*!?é"), max_size=120)


@pytest.mark.parametrize(
    ("text", "html"),
    [
        ("The *ring*.", "The <em>ring</em>."),
        ("*one* and *two words*", "<em>one</em> and <em>two words</em>"),
        ("2 * 3 * 4", "2 * 3 * 4"),
        ("a lone * star", "a lone * star"),
        ("<b>*<i>*</b>", "&lt;b&gt;<em>&lt;i&gt;</em>&lt;/b&gt;"),
        ("", ""),
    ],
)
def test_stars_stress_and_everything_is_escaped(text: str, html: str) -> None:
    assert stressed(text) == html


@pytest.mark.parametrize(
    ("text", "direction"),
    [("Mia", "ltr"), ("יעל", "rtl"), ("“ليلى” plays", "rtl"), ("12, אבא", "rtl"), ("12 !", "ltr")],
)
def test_direction_is_that_of_the_first_letter_that_has_one(text: str, direction: str) -> None:
    assert reading_direction(text) == direction


@given(TEXT, st.integers(2, 60))
def test_shortened_never_exceeds_its_room_and_says_that_it_is_short(text: str, room: int) -> None:
    short = shortened(text, room)
    assert len(short) <= room
    assert (short == text) if len(text) <= room else short.endswith("…")


@given(TEXT, st.integers(1, 60))
def test_parted_text_loses_no_letter(text: str, room: int) -> None:
    def letters(part: str) -> str:
        return "".join(part.replace("*", "").split())

    first, rest = parted(text, room)
    assert letters(first + rest) == letters(text)
    assert len(first) <= room + 1  # a closing star may come to it


def test_text_is_parted_after_a_sentence_when_one_ends_late_enough() -> None:
    assert parted("Hear the ring. Stop there. Then go on.", 30) == (
        "Hear the ring. Stop there.",
        "Then go on.",
    )


def test_stress_cut_in_two_is_stress_on_both_sides() -> None:
    assert parted("Keep *the whole arm* quiet", 12) == ("Keep *the*", "*whole arm* quiet")


def test_emoji_go_and_signs_of_music_stay() -> None:
    assert without_pictures("🎻 Mia 👩🏽‍🎤, B♭ and F♯ ○") == "Mia , B♭ and F♯ ○"
