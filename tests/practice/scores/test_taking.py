"""Bars of a score as a spot keeps them; files that are no scores."""

from __future__ import annotations

import io
import zipfile

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from practice.engraving.reading import read_score
from practice.music.abc_bar import read_abc
from practice.music.errors import MusicError
from practice.music.keys import parse_key
from practice.repertoire.excerpts import bars_in, easier_keys
from practice.scores.taking import take_bars, take_file
from studio.models import Studio
from tests.factories import SCORE, WorkFactory

MUSIC = read_score(SCORE.encode(), "lantern-boat.abc")


def test_one_bar_comes_with_its_notes_number_and_bowing() -> None:
    taken = take_bars(MUSIC, [1])
    assert (taken.words, taken.first_bar, taken.last_bar) == ("bar 1", 1, 1)
    assert taken.bowing == "long, two, two"
    kept = read_abc(taken.abc)
    assert [pitch.text() for pitch in kept.pitches] == [p.text() for p in taken.line.pitches]
    assert len(kept.pitches) == 5


def test_two_ends_take_what_lies_between() -> None:
    taken = take_bars(MUSIC, [4, 2])
    assert taken.words == "bars 2 to 4"
    assert (taken.first_bar, taken.last_bar, taken.filled) == (2, 4, 1)


def test_a_pickup_counts_to_the_bar_it_leads_into() -> None:
    taken = take_bars(MUSIC, [0])
    assert (taken.first_bar, taken.last_bar) == (1, 1)
    assert taken.words.startswith("the pickup")


def test_the_key_in_force_at_the_bar_goes_with_it() -> None:
    assert "K:D" in take_bars(MUSIC, [5]).abc


def test_simpler_keys_keep_the_rhythm() -> None:
    taken = take_bars(MUSIC, [5])
    keys = easier_keys(taken.abc)
    assert keys
    for name in keys:
        key, moved = parse_key(name), read_abc(bars_in(taken.abc, name))
        assert abs(key.signature) < 2
        assert [n.value for n in moved.notes] == [n.value for n in taken.line.notes]


@pytest.mark.parametrize("places", [[], [-1], [7], [2, 99]])
def test_bars_that_do_not_exist_are_refused(places: list[int]) -> None:
    with pytest.raises(MusicError, match="not in the score"):
        take_bars(MUSIC, places)


def test_a_bar_that_is_too_long_for_its_metre_is_told() -> None:
    long = read_score(b"X:1\nM:2/4\nL:1/8\nK:C\nABcd|ABcdef|ABcd|\n")
    with pytest.raises(MusicError, match="bar 2 is longer than 2/4 in the file"):
        take_bars(long, [0, 1])


def test_more_than_a_spot_can_hold_is_refused() -> None:
    long = read_score(("X:1\nM:4/4\nL:1/16\nK:C\n" + "c^cd^de=fg^ga^abc'bagf|" * 60).encode())
    with pytest.raises(MusicError, match="60 bars are too many"):
        take_bars(long, [0, 59])


PIANO = """<score-partwise><part-list><score-part id="P1"><part-name>Piano</part-name>
</score-part></part-list><part id="P1"><measure number="1"><attributes><divisions>1</divisions>
<staves>2</staves><clef number="1"><sign>G</sign></clef><clef number="2"><sign>F</sign></clef>
</attributes><note><pitch><step>C</step><octave>5</octave></pitch><duration>4</duration>
<staff>1</staff></note></measure></part></score-partwise>"""
ENTITIES = """<!DOCTYPE score-partwise [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;&a;">]>
<score-partwise>&b;</score-partwise>"""


OUTSIDE = """<!DOCTYPE score-partwise [<!ENTITY a SYSTEM "file:///etc/passwd">]>
<score-partwise>&a;</score-partwise>"""
CLARINET = """<score-partwise><part-list><score-part id="P1">
<part-name>Clarinet in B flat</part-name></score-part></part-list>
<part id="P1"><measure number="1"><attributes><divisions>1</divisions>
<clef><sign>G</sign></clef><transpose><chromatic>-2</chromatic></transpose></attributes>
<note><pitch><step>C</step><octave>5</octave></pitch><duration>4</duration></note>
</measure></part></score-partwise>"""
CELLO_MEI = """<mei xmlns="http://www.music-encoding.org/ns/mei"><music><body><mdiv><score><scoreDef>
<staffGrp><staffDef n="1" clef.shape="F" clef.line="4" label="Cello"/></staffGrp></scoreDef>
<section><measure n="1"><staff n="1"><layer n="1"><note pname="g" oct="3" dur="1"/></layer></staff>
</measure></section></score></mdiv></body></music></mei>"""
PIANO_ABC = "X:1\n%%score {1 2}\nM:2/4\nL:1/8\nV:1\nV:2\nK:C\n[V:1]ABcd|\n[V:2]EFGA|\n"


def bomb() -> bytes:
    """40 MB of nothing in a few kilobytes."""
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("score.xml", b"<score-partwise>" + b" " * 40 * 1024 * 1024)
    return packed.getvalue()


BAD = {
    "broken": (b"<score-partwise><part>", "broken"),
    "piano": (PIANO.encode(), "keyboard"),
    "entities": (ENTITIES.encode(), "entities"),
    "outside": (OUTSIDE.encode(), "entities"),
    "transposing": (CLARINET.encode(), "Clarinet in B flat is a transposing part: it sounds 2"),
    "piano in ABC": (PIANO_ABC.encode(), "keyboard"),
    "cello in MEI": (CELLO_MEI.encode(), "not written in the treble clef"),
    "deep": (b"<a>" * 70 + b"</a>" * 70, "nested deeper than 60"),
    "endless bar": (b"X:1\nM:4/4\nL:1/16\nK:C\n" + b"ABcd" * 200 + b"|\n", "Bar 1 has 800 notes"),
    "endless piece": (b"X:1\nM:1/4\nL:1/4\nK:C\n" + b"A|" * 1600 + b"\n", "has 1600 bars"),
    "bomb": (bomb(), "MB"),
    "6 MB": (b"X:1\nK:C\n" + b"c" * 6 * 1024 * 1024, "6.0 MB; scores up to 5 MB"),
    "picture": (b"%PDF-1.7 ...", "PDF"),
    "words": (b"Dear Marisol, here is the piece.", "no score"),
    "nothing sounds": (b"X:1\nM:4/4\nK:C\nz8|]\n", "no notes"),
}


@pytest.mark.parametrize("name", BAD)
def test_a_file_that_is_no_violin_score_is_told_in_words(studio: Studio, name: str) -> None:
    data, words = BAD[name]
    work = WorkFactory.create()
    with pytest.raises(MusicError, match=words) as caught:
        take_file(studio, work, SimpleUploadedFile("thing.xml", data))
    assert str(caught.value).endswith(".")
    assert not work.scores.exists()


def test_a_name_with_a_path_keeps_its_last_part(studio: Studio) -> None:
    upload = SimpleUploadedFile("x.abc", SCORE.encode())
    upload.name = "music/../lantern  boat.abc"
    score = take_file(studio, WorkFactory.create(), upload)
    assert score.name == "lantern boat.abc"
    assert score.bars == 7
