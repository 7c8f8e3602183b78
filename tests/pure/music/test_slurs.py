from hypothesis import given
from hypothesis import strategies as st

from practice.music.line import Bar, Note
from practice.music.pitch import Pitch
from practice.music.rhythm import Value
from practice.music.slurs import place_slurs

A = Note(Value(8), Pitch("A", 0, 4))


def marks(count: int, spans: list[tuple[int, int]]) -> tuple[str, int]:
    """Notes as letters with slurs: "(a a) a"."""
    half = count // 2
    bars, passed = place_slurs([Bar((A,) * half), Bar((A,) * (count - half))], spans)
    words = []
    for bar in bars:
        for note in bar.notes:
            words.append("(" * note.slur_start + "a" + ")" * note.slur_end)
    return " ".join(words), passed


def test_slurs_side_by_side_and_over_a_bar_line() -> None:
    assert marks(6, [(0, 1), (2, 4)]) == ("(a a) (a a a) a", 0)


def test_a_chain_meets_on_one_note() -> None:
    assert marks(4, [(0, 2), (2, 3)]) == ("(a a (a) a)", 0)


def test_a_phrase_mark_over_bows_is_passed_over() -> None:
    assert marks(6, [(0, 5), (0, 1), (2, 3)]) == ("(a a) (a a) a a", 1)


def test_a_slur_of_one_note_is_none() -> None:
    assert marks(2, [(1, 1)]) == ("a a", 1)


@given(st.lists(st.tuples(st.integers(0, 20), st.integers(0, 20)), max_size=15))
def test_kept_slurs_never_lie_over_one_another(spans: list[tuple[int, int]]) -> None:
    text, passed = marks(21, spans)
    depth = 0
    for word in text.split():
        depth -= word.endswith(")")
        depth += word.startswith("(")
        assert depth in (0, 1)
    assert depth == 0
    assert text.count("(") + passed == len(set(spans))
