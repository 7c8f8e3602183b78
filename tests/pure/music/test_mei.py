"""The MEI is read by two others: music21 (spelling, slurs, bows) and Verovio (sounding pitch)."""

from fractions import Fraction

import pytest
from music21 import articulations, mei, spanner
from music21 import note as m21note

from practice.music.abc_bar import read_abc
from practice.music.bowing_list import BOWINGS, bowing
from practice.music.bowings import Pattern
from practice.music.exercise import pour
from practice.music.keys import ALL_KEYS, Key, parse_key
from practice.music.line import Line
from practice.music.mei import line_to_mei
from practice.music.scales import Arpeggio, arpeggio, scale


def read(line: Line) -> object:
    return mei.MeiToM21Converter(line_to_mei(line)).run()


def theirs(line: Line) -> list[tuple[str | None, Fraction]]:
    return [
        (
            n.pitch.nameWithOctave.replace("-", "b") if isinstance(n, m21note.Note) else None,
            Fraction(n.quarterLength).limit_denominator(64),
        )
        for n in read(line).recurse().notesAndRests  # type: ignore[attr-defined]
    ]


def ours(line: Line) -> list[tuple[str | None, Fraction]]:
    return [(n.pitch.name if n.pitch else None, n.quarters) for n in line.notes]


@pytest.mark.parametrize("key", ALL_KEYS, ids=str)
def test_music21_reads_every_key_as_spelled(key: Key) -> None:
    line = pour(bowing("2s2d"), scale(key, octaves=2)).line
    assert theirs(line) == ours(line)
    line = pour(bowing("triplets"), arpeggio(key, Arpeggio.DIMINISHED7)).line
    assert [name for name, _ in theirs(line)] == [name for name, _ in ours(line)]


@pytest.mark.parametrize("pattern", BOWINGS, ids=lambda p: p.slug)
def test_music21_reads_slurs_and_bows(pattern: Pattern) -> None:
    line = pour(pattern, scale(parse_key("D minor"), octaves=1)).line
    score = read(line)
    slurs = list(score.recurse().getElementsByClass(spanner.Slur))  # type: ignore[attr-defined]
    assert len(slurs) == sum(note.slur_start for note in line.notes)
    bows = [
        "down" if isinstance(a, articulations.DownBow) else "up"
        for n in score.recurse().notes  # type: ignore[attr-defined]
        for a in n.articulations
        if isinstance(a, articulations.DownBow | articulations.UpBow)
    ]
    assert bows == [note.bow for note in line.notes if note.bow]


def test_every_note_says_how_it_sounds() -> None:
    text = line_to_mei(pour(bowing("detache"), scale(parse_key("A major"))).line)
    assert text.count("accid.ges=") == text.count("<note ")


def test_accidentals_are_written_once_a_bar_and_taken_back() -> None:
    text = line_to_mei(read_abc("M:4/4\nL:1/4\nK:G\n=f f ^f f | f =c ^c c"))
    written = [part.split('"')[1] for part in text.split(" accid=")[1:]]
    assert written == ["n", "s", "s"]


def test_ids_count_the_notes() -> None:
    text = line_to_mei(read_abc("M:4/4\nL:1/4\nK:G\nA B z [ce]"))
    assert [f'xml:id="n{i}"' in text for i in (1, 2, 3, 4)] == [True, True, True, False]


def test_text_is_escaped() -> None:
    line = read_abc("K:C\nL:1/4\nA")
    bar = line.bars[0].__class__(line.bars[0].notes, number='1"<')
    text = line_to_mei(Line(line.key, line.metre, (bar,)))
    assert 'n="1&quot;&lt;"' in text


@pytest.mark.parametrize(
    ("abc", "tuplets", "beams"),
    [
        ("(3ABc (3def", 2, 2),
        ("(3:2:2A2B d2", 1, 0),
        ("(3AzB d2", 1, 0),
        ("ABcd", 0, 1),
        ("A>B c>d", 0, 2),
        ("{g}A B {cd}e f", 0, 1),
    ],
)
def test_tuplets_and_beams(abc: str, tuplets: int, beams: int) -> None:
    text = line_to_mei(read_abc(f"M:2/4\nL:1/8\nK:C\n{abc}"))
    assert (text.count("<tuplet "), text.count("<beam>")) == (tuplets, beams)
