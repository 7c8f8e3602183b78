import pytest

from practice.music.abc_tune import read_tune
from practice.music.errors import MusicError, OutOfRange
from practice.music.excerpt import borrowed_bowing
from practice.music.score import Score, checked, counts, excerpt, excerpt_at, index_of, label

MINUET = """X:1
T:Minuet
C:Petzold
M:3/4
L:1/8
K:G
d2|:d2 (GA) (Bc)|d2 G2 G2|e2 (cd ef)|g2 G2 z:|
|:d|b2 (ga) (bg)|1 a6:|2 [K:D] a6||
M:2/4
^c2 d2|]
"""


@pytest.fixture(scope="module")
def minuet() -> Score:
    return read_tune(MINUET)


def test_bars_are_numbered_as_printed(minuet: Score) -> None:
    numbers = [bar.number for bar in minuet.bars]
    # The pickup has none; bar 4 is cut by the repeat and completed by its second half.
    assert numbers == ["", "1", "2", "3", "4", "", "5", "6", "7", "8"]
    assert label(minuet, 0) == "the pickup"
    assert label(minuet, 5) == "the pickup to bar 5"
    assert label(minuet, 3) == "bar 3"


def test_repeats_endings_and_changes_are_kept(minuet: Score) -> None:
    bars = minuet.bars
    assert [bar.repeat_start for bar in bars[:2]] == [False, True]
    assert bars[4].repeat_end
    assert bars[5].repeat_start
    assert [bar.ending for bar in bars[6:]] == ["", "1", "2", ""]
    assert bars[8].key is not None
    assert bars[8].key.name == "D major"
    assert [str(metre) for _, metre in minuet.line.signatures][-2:] == ["3/4", "2/4"]


def test_an_excerpt_has_the_key_and_metre_in_force(minuet: Score) -> None:
    line = excerpt(minuet, "7")
    assert line.key.name == "D major"
    assert [bar.number for bar in line.bars] == ["7"]
    assert not line.bars[0].ending


def test_an_excerpt_gives_its_bowing(minuet: Score) -> None:
    assert borrowed_bowing(excerpt(minuet, "1")).code == "3/4 4 (8 8) (8 8)"
    assert borrowed_bowing(excerpt(minuet, "2", "3")).slurs == (1, 1, 1, 1, 4)


def test_a_slur_over_the_edge_is_made_whole() -> None:
    score = read_tune("X:1\nM:2/4\nL:1/8\nK:G\nA(BcA|BcdA|B)c d2|")
    assert [n.slur_end for n in excerpt(score, "1").notes] == [False, False, False, True]
    middle = excerpt(score, "2").notes
    assert (middle[0].slur_start, middle[-1].slur_end) == (True, True)
    last = excerpt(score, "3").notes
    assert not any(note.slur_start or note.slur_end for note in last)


def test_a_bar_that_does_not_exist_is_named(minuet: Score) -> None:
    with pytest.raises(OutOfRange, match="There is no bar 99. This piece has bars 1 to 8"):
        index_of(minuet, "99")
    with pytest.raises(MusicError, match="Bar 2 comes before bar 3"):
        excerpt(minuet, "3", "2")
    with pytest.raises(MusicError, match="next to one another"):
        excerpt_at(minuet, [1, 3])
    with pytest.raises(OutOfRange, match="bars of this piece"):
        excerpt_at(minuet, [40])
    with pytest.raises(MusicError, match="metre changes at bar 8"):
        excerpt(minuet, "7", "8")


def test_what_no_violin_has_is_named(minuet: Score) -> None:
    with pytest.raises(OutOfRange, match="no violin part: bar 2 has C 3, below the open G string"):
        read_tune("X:1\nM:2/4\nL:1/4\nK:C\nc c|c C,|")
    assert checked(minuet) is minuet


def test_counts(minuet: Score) -> None:
    found = counts(minuet)
    assert (found.notes, found.rests, found.slurs, found.bars) == (26, 1, 5, 10)
    assert (found.lowest.name, found.highest.name) == ("G4", "B5")
