import pytest

from practice.music.abc_tune import read_tune
from practice.music.errors import MusicError
from practice.music.score import Score

HEAD = "X:1\nM:2/4\nL:1/8\n"


def read(rest: str) -> Score:
    return read_tune(HEAD + rest)


def names(score: Score) -> str:
    return "".join(pitch.name[0] for pitch in score.line.pitches)


def test_the_first_of_two_voices_is_read_and_the_other_told() -> None:
    score = read("K:C\nV:1\nABcd|\nV:2\nEFGA|\nV:1\ndcBA|\nV:2\nAGFE|\n")
    assert names(score) == "ABCDDCBA"
    assert [bar.number for bar in score.bars] == ["1", "2"]
    assert score.remarks == ("Read: voice 1. Left out: voice 2.",)


def test_the_violins_voice_is_read_wherever_it_stands() -> None:
    score = read('V:f name="Flute"\nV:v nm="Violin II"\nK:C\n[V:f]abab|\n[V:v]ABcd|\n')
    assert names(score) == "ABCD"
    assert score.remarks == ("Read: Violin II. Left out: Flute.",)


def test_voices_may_change_within_a_line() -> None:
    assert names(read("V:1\nV:2\nK:C\n[V:1] AB|[V:2] EF|[V:1] cd|\n")) == "ABCD"


def test_one_voice_alone_needs_no_remark() -> None:
    assert read('V:1 name="Fiddle"\nK:C\nV:1\nABcd|\n').remarks == ()
    assert read("K:C clef=treble\nABcd|\n").remarks == ()


@pytest.mark.parametrize(
    ("rest", "words"),
    [
        ("%%score {1 2}\nV:1\nV:2 clef=bass\nK:C\n[V:1]ABcd|\n[V:2]EFGA|\n", "for a keyboard"),
        ("%%staves {r l}\nV:r\nV:l\nK:C\n[V:r]ABcd|\n[V:l]EFGA|\n", "for a keyboard"),
        ("K:C clef=bass\nABcd|\n", "written in the bass clef"),
        ("K:C alto\nABcd|\n", "written in the alto clef"),
        ("V:1 clef=tenor\nK:C\nV:1\nABcd|\n", "written in the tenor clef"),
        ("K:C transpose=-2\nABcd|\n", "it sounds 2 semitones lower than written"),
        ("K:C transpose=1\nABcd|\n", "it sounds 1 semitone higher than written"),
        ("K:C clef=treble-8\nABcd|\n", "it sounds 12 semitones lower than written"),
    ],
)
def test_what_is_no_violins_voice_is_told(rest: str, words: str) -> None:
    with pytest.raises(MusicError, match=words):
        read(rest)


def test_a_name_is_no_clef() -> None:
    assert names(read('V:1 name="Violin, doubling the bass"\nK:C\nV:1\nABcd|\n')) == "ABCD"
