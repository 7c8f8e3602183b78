import pytest

from practice.music.abc_tune import read_tune
from practice.music.bowing_list import bowing
from practice.music.fingering import Rules
from practice.music.hard_bars import (
    TECHNIQUES,
    cell_words,
    cells,
    hard_bars,
    rhythms_of,
    rhythms_of_bowing,
    strokes_of,
)
from practice.music.score import Score

EASY = "ABcd|"


def piece(bars: str, metre: str = "2/4") -> Score:
    return read_tune(f"X:1\nM:{metre}\nL:1/8\nK:D\n{bars}")


def only(score: Score, name: str, bpm: int = 80, **rest: object) -> str:
    """The reasons of one bar; no other bar may have any."""
    found = hard_bars(score, bpm, **rest)  # type: ignore[arg-type]
    assert [bar.name for bar in found] == [name]
    return found[0].words


def test_an_easy_piece_has_no_hard_bar() -> None:
    assert hard_bars(piece(EASY * 8), 80) == ()


def test_a_shift_says_where_it_goes() -> None:
    there, back = hard_bars(piece(f"{EASY}{EASY}a d' f' d'|{EASY * 4}"), 60)
    assert (there.name, back.name) == ("bar 3", "bar 4")
    assert there.words.startswith("a shift to ")
    assert "position on D 6" in there.words
    assert back.words == "a shift to first position on B 4"


def test_string_crossings_count_by_the_second() -> None:
    score = piece(EASY * 3 + "DdDd|")
    assert only(score, "bar 4", 120) == "3.0 string crossings a second at 120"
    assert hard_bars(score, 144)[0].hardness > hard_bars(score, 120)[0].hardness
    assert hard_bars(score, 60) == ()


def test_a_change_of_bowing_is_named() -> None:
    words = only(piece("(AB)(cd)|(AB)(cd)|A(Bcd)|"), "bar 3")
    assert words == "the bowing changes: 1, 3 notes in a bow"


def test_accidentals_are_named() -> None:
    words = only(piece(f"{EASY}A=c^Ad|"), "bar 2")
    assert words == "C natural and A sharp, outside D major"


def test_a_rhythm_the_student_has_not_played_is_named() -> None:
    score = piece(f"{EASY}A>B cd|{EASY}")
    assert only(score, "bar 2", known_rhythms=frozenset({"8 8", "4"})) == (
        "a rhythm new to this student: dotted eighth note and sixteenth note"
    )
    assert hard_bars(score, 80, known_rhythms=rhythms_of(score.line)) == ()


def test_double_stops_are_counted() -> None:
    found = hard_bars(piece(f"{EASY}[DA]2 [EB]2|"), 60)
    assert "2 double stops" in found[0].words
    assert "double stops" in [reason.technique for reason in found[0].reasons]


# Each an invented bar after easy ones, and what it is trained by.
TRAINED = {
    "shift": ("a d' f' d'|", "2/4", "shifting"),
    "crossing": ("DdDd|", "2/4", "string crossing"),
    "slurs": ("A(Bcd)|", "2/4", "mixed bowing"),
    "accidental": ("A=c^Ad|", "2/4", "chromatic fingering"),
    "triplet": ("(3ABc d2|", "2/4", "triplets"),
    "dotted": ("A>B cd|", "2/4", "dotted rhythm"),
    "rhythm": ("AB/c/ dc|", "2/4", "rhythm"),
    "double stop": ("[DA]2 [EB]2|", "2/4", "double stops"),
    "stretch": ("gb=c'b|", "2/4", "extensions"),
}


@pytest.mark.parametrize("kind", TRAINED)
def test_every_reason_belongs_to_a_technique(kind: str) -> None:
    music, metre, technique = TRAINED[kind]
    known = frozenset({"8 8", "4"})
    found = hard_bars(piece(EASY * 2 + music, metre), 120, known_rhythms=known)
    assert technique in [r.technique for bar in found if bar.index == 2 for r in bar.reasons]
    assert TECHNIQUES[kind] == technique
    assert set(TRAINED) == set(TECHNIQUES)


def test_a_bowing_tells_the_rhythms_it_is_played_in() -> None:
    assert rhythms_of_bowing(bowing("hooked-dotted")) == {"8. 16"}
    assert rhythms_of_bowing(bowing("one8-two16")) == {"8 16 16"}


def test_the_hardest_come_first_and_no_more_than_asked() -> None:
    score = piece("A^B=c^d|A^B=cd|" * 6)
    found = hard_bars(score, 80, limit=4)
    assert len(found) == 4
    assert [bar.hardness for bar in found] == sorted((b.hardness for b in found), reverse=True)


def test_written_fingers_and_positions_give_way_where_they_must() -> None:
    score = piece('"2"G2 a\'2|')  # no second finger on that G in any position on one string
    assert hard_bars(score, 60, rules=Rules(highest_position=1))


def test_a_tie_does_not_count_as_a_bow() -> None:
    score = piece("(AB)c d|", "2/4")
    assert strokes_of(score.bars[0]) == (2, 1, 1)


@pytest.mark.parametrize(
    ("abc", "expected"),
    [
        ("A2 B>c|", ("4", "8. 16")),
        ("(3ABc d2|", ("8t 8t 8t", "4")),
        ("A3 B|", ("4. 8",)),
        ("A4|", ("2",)),
    ],
)
def test_rhythm_is_read_beat_by_beat(abc: str, expected: tuple[str, ...]) -> None:
    score = piece(abc)
    assert cells(score.bars[0], score.line.metre) == expected


def test_a_rhythm_in_words() -> None:
    assert cell_words("8t 8t 8t") == "3 eighth notes (triplet)"
    assert cell_words("8 16 16") == "eighth note and 2 sixteenth notes"
    assert cell_words("4") == "quarter note"
