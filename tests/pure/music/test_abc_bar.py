from contextlib import suppress
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from music21 import converter, spanner
from music21 import note as m21note

from practice.music.abc_bar import AbcError, read_abc
from practice.music.abc_text import line_to_abc
from practice.music.errors import MusicError
from practice.music.keys import ALL_KEYS, parse_key
from practice.music.line import Bar, Line, Note
from practice.music.pitch import STEPS, Pitch
from practice.music.rhythm import Metre, Value, parse_metre

G = parse_key("G major")
MINUET = "M:3/4\nL:1/8\nK:G\nv!4!e2 u(!2!cd) v(!0!ef)"


def test_reads_a_bar_with_bows_fingers_and_slurs() -> None:
    line = read_abc(MINUET)
    assert [p.name for p in line.pitches] == ["E5", "C5", "D5", "E5", "F#5"]
    assert [note.value.code for note in line.notes] == ["4", "8", "8", "8", "8"]
    assert [note.bow for note in line.notes] == ["down", "up", "", "down", ""]
    assert [note.finger for note in line.notes] == [4, 2, None, 0, None]
    assert [note.slur_start for note in line.notes] == [False, True, False, True, False]
    assert [note.slur_end for note in line.notes] == [False, False, True, False, True]


# Lengths, broken rhythm and tuplets as the standard's own examples define them (ABC 2.1,
# sections 4.3, 4.4 and 4.13).
@pytest.mark.parametrize(
    ("abc", "codes"),
    [
        ("A A2 A4 A3 A/2 A/ A//", "8 4 2 4. 16 16 32"),
        ("A>B A<B A>>B", "8. 16 16 8. 8.. 32"),
        ("(3ABc (3A2B2c2", "8t 8t 8t 4t 4t 4t"),
        ("(3:2:2A2B", "4t 8t"),
        ("z2 x z/", "r4 r8 r16"),
    ],
)
def test_lengths_follow_the_standard(abc: str, codes: str) -> None:
    line = read_abc(f"M:9/4\nL:1/8\nK:C\n{abc}")
    assert [note.value.code for note in line.notes] == codes.split()


def test_without_a_length_field_the_metre_decides() -> None:
    assert read_abc("A", G, parse_metre("2/4")).notes[0].value.code == "16"
    assert read_abc("A", G, parse_metre("3/4")).notes[0].value.code == "8"
    assert read_abc("L:1/4\nA", G, parse_metre("3/4")).notes[0].value.code == "4"


def test_an_accidental_holds_for_its_letter_to_the_bar_line() -> None:
    line = read_abc("K:G\nL:1/8\n^c c c' =f | c f", G)
    assert [p.name for p in line.pitches] == ["C#5", "C#5", "C#6", "F5", "C5", "F#5"]


def test_reads_marks_double_stops_and_graces() -> None:
    line = read_abc("L:1/8\n.A !tenuto!B !>!c !wedge!d [GB]2 {g}a2", G, Metre(4, 4))
    articulations = [note.articulation for note in line.notes]
    assert articulations[:4] == ["staccato", "tenuto", "accent", "wedge"]
    assert [p.name for p in line.notes[4].chord] == ["B4"]
    assert line.notes[5].grace
    assert line.bars[0].quarters == 4


@pytest.mark.parametrize(
    ("abc", "position", "words"),
    [
        ("A B h", 5, "“h” at character 5: this sign is not read"),
        ("A B9", 3, "“B” at character 3: this length needs two tied notes"),
        ("(AB", 1, "“\\(” at character 1: this slur is never closed"),
        ("A)", 2, "no slur is open"),
        ("(A (BC))", 4, "a slur is already open"),
        ("(A)B", 3, "a slur needs two notes"),
        ("A !trill!B", 3, "!trill! is not read here"),
        ("A,,", 1, "A 2 is not on the violin"),
        ("K:H\nA", 1, "“H” is not a key"),
        ("M:3/5\nA", 1, "“3/5” is not a metre"),
        ("L:1/7\nA", 1, "“1/7” is not a note length"),
        ("A8B | A", 1, "this bar is longer than 4/4"),
        ("A [K:D] B", 3, "cannot change in the middle"),
        ("", 1, "no notes yet"),
        ("A u", 3, "a mark stands here without a note"),
        ("[]", 1, "needs its notes"),
        ("A {c}", 1, "grace notes need"),
        ("A0", 1, "a note needs a length"),
        ("A/0", 2, "divided by 0"),
        ('"Em"A', 1, "this sign is not read"),
    ],
)
def test_what_cannot_be_read_is_named_with_its_place(abc: str, position: int, words: str) -> None:
    with pytest.raises(AbcError, match=words) as caught:
        read_abc(abc, G, Metre(4, 4))
    assert caught.value.position == position


@given(st.text(alphabet="ABCabcz()[]{}<>|:/'\",^_=-!.uv0123456789 \nKML", max_size=60))
def test_any_text_gives_music_or_a_sentence(text: str) -> None:
    with suppress(MusicError):
        line = read_abc(text, G, Metre(4, 4))
        assert all(bar.notes and 0 < bar.quarters <= 4 for bar in line.bars)


def test_too_long_a_text_is_refused() -> None:
    with pytest.raises(AbcError, match="at most 4000 characters"):
        read_abc("A" * 4001)


values = st.tuples(st.sampled_from([2, 4, 8, 16]), st.integers(0, 1))
pitches = st.builds(Pitch, st.sampled_from(STEPS), st.integers(-1, 1), st.integers(4, 6))
notes = st.one_of(
    values.map(lambda v: Note(Value(*v, rest=True))),
    st.builds(lambda v, pitch: Note(Value(*v), pitch), values, pitches),
)


@st.composite
def lines(draw: st.DrawFn) -> Line:
    bars = []
    for _ in range(draw(st.integers(1, 3))):
        bar: list[Note] = []
        for note in draw(st.lists(notes, min_size=1, max_size=8)):
            if sum((n.quarters for n in bar), Fraction(0)) + note.quarters <= 6:
                bar.append(note)
        bars.append(Bar(tuple(bar)))
    return Line(draw(st.sampled_from(ALL_KEYS)), Metre(6, 4), tuple(bars))


@given(lines())
def test_what_is_written_is_read_back(line: Line) -> None:
    assert read_abc(line_to_abc(line)) == line


def test_marks_are_written_and_read_back() -> None:
    text = "M:4/4\nL:1/8\nK:Bm\n(3.A !tenuto!u!2!B d ([GB] c-) {g f}e2 | (c d) v!0!A2"
    line = read_abc(text)
    assert read_abc(line_to_abc(line)) == line


@given(lines())
def test_music21_reads_the_same_notes(line: Line) -> None:
    score = converter.parse("X:1\n" + line_to_abc(line), format="abc")
    theirs = [
        (
            n.pitch.nameWithOctave.replace("-", "b") if isinstance(n, m21note.Note) else None,
            Fraction(n.quarterLength),
        )
        for n in score.recurse().notesAndRests
    ]
    ours = [(n.pitch.name if n.pitch else None, n.quarters) for n in line.notes]
    assert theirs == ours


def test_music21_reads_the_same_slurs() -> None:
    score = converter.parse("X:1\n" + MINUET, format="abc")
    slurs = [s.getSpannedElements() for s in score.recurse().getElementsByClass(spanner.Slur)]
    assert [[n.nameWithOctave for n in pair] for pair in slurs] == [["C5", "D5"], ["E5", "F#5"]]
