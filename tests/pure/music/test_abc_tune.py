"""Whole tunes, checked against music21's own reading of its installed corpus.

The tunes are computed from the installed package at test time; none is copied here. Known: in
O'Neill's the transcriber typed "-" for slurs, and a bar split by a double bar line counts
twice in music21, so its bars are not compared there.
"""

from pathlib import Path

import pytest
from music21 import bar as m21bar
from music21 import corpus, note, spanner, stream

from practice.music.abc_tune import read_tune
from practice.music.errors import MusicError
from practice.music.score import counts

TUNES = [
    ("ryansMammoth/ArkansasTravellerReel", None, True),
    ("ryansMammoth/AmazonHornpipe", None, True),
    ("ryansMammoth/AnnieHughesJig", None, True),
    ("ryansMammoth/AldridgesHornpipe", None, True),
    ("ryansMammoth/AcrobatsHornpipe", None, True),
    ("ryansMammoth/AdmiralsHornpipe", None, True),
    ("airdsAirs/book1", 2, True),
    ("airdsAirs/book1", 4, True),
    ("airdsAirs/book2", 201, True),
    ("ryansMammoth/AcaciaReel", None, True),
    ("ryansMammoth/AndrewCareysSlipjig", None, True),
    ("oneills1850/0001-0050", 1, False),
    ("oneills1850/0001-0050", 2, True),
]


def text_of(work: str) -> str:
    path = corpus.getWork(work)
    assert isinstance(path, Path)
    return path.read_text(encoding="utf-8", errors="replace")


@pytest.mark.parametrize(("work", "number", "bars"), TUNES, ids=str)
def test_counts_agree_with_music21(work: str, number: int | None, bars: bool) -> None:
    ours = counts(read_tune(text_of(work), number))
    score = corpus.parse(work, number=number) if number else corpus.parse(work)
    notes = list(score.recurse().notes)
    ties = [n for n in notes if n.tie and n.tie.type in ("start", "continue")]
    assert ours.notes == sum(not n.duration.isGrace for n in notes)
    assert ours.graces == sum(n.duration.isGrace for n in notes)
    assert ours.rests == len(score.recurse().getElementsByClass(note.Rest))
    assert ours.slurs == len(score.recurse().getElementsByClass(spanner.Slur))
    assert ours.ties == len(ties)
    pitches = [p for n in notes for p in n.pitches]
    assert ours.lowest.midi == min(p.midi for p in pitches)
    assert ours.highest.midi == max(p.midi for p in pitches)
    if bars:
        assert ours.bars == len(score.recurse().getElementsByClass(stream.Measure))


@pytest.mark.parametrize("work", [TUNES[i][0] for i in (0, 1, 3, 4, 5, 9)])
def test_repeats_agree_with_music21(work: str) -> None:
    ours = sum(bar.repeat_end for bar in read_tune(text_of(work)).bars)
    found = corpus.parse(work).recurse().getElementsByClass(m21bar.Repeat)
    assert ours == sum(repeat.direction == "end" for repeat in found)


def test_words_and_ornaments_are_passed_over() -> None:
    head = "X:1\nM:2/4\nL:1/8\nR:reel\nK:D clef=treble\n"
    tune = read_tune(head + '"Em"A ~B !trill!c "4"d|\nw:la la\n')
    assert [n.pitch.name for n in tune.line.notes if n.pitch] == ["A4", "B4", "C#5", "D5"]
    assert tune.line.notes[3].finger == 4


def test_slurs_join_on_a_note() -> None:
    tune = read_tune("X:1\nM:3/4\nL:1/8\nK:C\n(c d (e) f g a)|")
    starts = [n.slur_start for n in tune.line.notes]
    ends = [n.slur_end for n in tune.line.notes]
    assert starts == [True, False, True, False, False, False]
    assert ends == [False, False, True, False, False, True]


def test_long_notes_are_tied_and_rests_fill_bars() -> None:
    tune = read_tune("X:1\nM:4/4\nL:1/8\nK:C\nA5B3|Z2|A8|")
    assert [(n.value.code, n.tie) for n in tune.line.notes[:3]] == [
        ("2", True),
        ("8", False),
        ("4.", False),
    ]
    assert len(tune.bars) == 4


def test_one_tune_of_a_book_is_read() -> None:
    book = "X:1\nT:One\nK:C\nA\n\nX:2\nT:Two\nK:G\nB\n"
    assert read_tune(book).title == "One"
    assert read_tune(book).remarks == ("This file holds 2 tunes; the first was read.",)
    assert read_tune(book, 2).title == "Two"
    with pytest.raises(MusicError, match="no tune X:3"):
        read_tune(book, 3)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("X:1\nK:C\n", "holds no notes"),
        ("hello", "no ABC tune"),
        ("X:1\nK:C\nA & B|", "two voices"),
        ('X:1\nK:C\n"Em', "never closed"),
        ("X:1\nM:9/7\nK:C\nA", "“9/7” is not a metre"),
        ("X:1\nM:2/4\nL:1/8\nK:C\nA ? B", "“\\?” at character 3"),
    ],
)
def test_what_cannot_be_read_is_told(text: str, words: str) -> None:
    with pytest.raises(MusicError, match=words):
        read_tune(text)


def test_a_tune_of_endless_notes_is_refused() -> None:
    for music in ("A" * 30_000, "Z200|" * 1000, "A999 " * 1000):
        with pytest.raises(MusicError, match="more than 20000 notes"):
            read_tune(f"X:1\nM:4/4\nL:1/8\nK:C\n{music}")


@pytest.mark.parametrize("music", ["A" + "9" * 5000, "A" + "/" * 5000, "(3:" + "9" * 5000 + "ABC"])
def test_endless_numbers_are_refused(music: str) -> None:
    with pytest.raises(MusicError, match="character"):
        read_tune(f"X:1\nM:4/4\nL:1/8\nK:C\n{music}")
