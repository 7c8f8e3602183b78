"""Files as a teacher drops them, and the same tunes through every format against music21."""

import io
import zipfile
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from music21 import corpus, musicxml, note, spanner, stream

from practice.engraving.engrave import thread_toolkit
from practice.engraving.reading import read_score
from practice.music.errors import MusicError
from practice.music.score import counts

TUNES = [
    ("ryansMammoth/ArkansasTravellerReel", None),
    ("ryansMammoth/AmazonHornpipe", None),
    ("ryansMammoth/AnnieHughesJig", None),
    ("ryansMammoth/AcrobatsHornpipe", None),
    ("airdsAirs/book1", 2),
    ("airdsAirs/book1", 4),
    ("airdsAirs/book2", 201),
    ("ryansMammoth/AcaciaReel", None),
    ("ryansMammoth/AndrewCareysSlipjig", None),
    ("oneills1850/0001-0050", 2),
]
ABC = b"X:1\nT:Minuet\nM:3/4\nL:1/8\nK:G\nd2 (GA) (Bc)|d2 G2 G2|]\n"


def opened(work: str, number: int | None) -> stream.Score:
    score = corpus.parse(work, number=number) if number else corpus.parse(work)
    assert isinstance(score, stream.Score)
    return score


def as_xml(score: stream.Score) -> bytes:
    return bytes(musicxml.m21ToXml.GeneralObjectExporter(score).parse())


def as_mei(xml: bytes) -> bytes:
    """Converted by Verovio."""
    toolkit = thread_toolkit()
    toolkit.setOptions({"inputFrom": "xml"})
    assert toolkit.loadData(xml.decode())
    return str(toolkit.getMEI()).encode()


@pytest.mark.parametrize(("work", "number"), TUNES, ids=str)
@pytest.mark.parametrize("kind", ["MusicXML", "mxl", "MEI"])
def test_counts_agree_with_music21(work: str, number: int | None, kind: str) -> None:
    score = opened(work, number)
    data = as_xml(score)
    if kind == "MEI":
        data = as_mei(data)
    elif kind == "mxl":
        packed = io.BytesIO()
        with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
            archive.writestr("tune.musicxml", data)
        data = packed.getvalue()
    read = read_score(data)
    ours = counts(read)
    notes = list(score.recurse().notes)
    assert ours.notes == sum(not n.duration.isGrace for n in notes)
    assert ours.graces == sum(n.duration.isGrace for n in notes)
    assert ours.rests == len(score.recurse().getElementsByClass(note.Rest))
    assert ours.slurs == len(score.recurse().getElementsByClass(spanner.Slur))
    assert ours.ties == sum(bool(n.tie and n.tie.type in ("start", "continue")) for n in notes)
    assert ours.bars == len(score.recurse().getElementsByClass(stream.Measure))
    timed = [n for n in score.recurse().notesAndRests if not n.duration.isGrace]
    theirs = [Fraction(n.quarterLength).limit_denominator(96) for n in timed]
    assert [n.quarters for n in read.line.notes if not n.grace] == theirs


def test_abc_is_known_by_its_content() -> None:
    assert read_score(ABC, "anything.bin").title == "Minuet"
    assert read_score(ABC.decode().encode("utf-8-sig")).title == "Minuet"
    assert read_score(ABC.replace(b"Minuet", "Menü".encode("latin-1"))).title == "Menü"


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "“a.xml” is empty"),
        (b"\0" * 100, "is empty"),
        (b"%PDF-1.7 ...", "“a.xml” is a PDF, a picture of a score. Choose MusicXML"),
        (b"hello there", "“a.xml” is no score this program reads"),
        (b"\x89PNG\r\n\0\0", "is no score"),
        (b"<html><body/></html>", "begins with <html>"),
        (b"<score-partwise>", "broken: line 1"),
        (b"PK\x03\x04broken", "cannot be unpacked"),
        (b"X:1\nK:G\n", "holds no notes"),
        (b"x" * (5 * 1024 * 1024 + 1), "has 5.0 MB; scores up to 5 MB"),
        ("<a/>".encode("utf-16"), "begins with <a>"),
    ],
)
def test_what_is_no_score_is_told_with_its_name(data: bytes, words: str) -> None:
    with pytest.raises(MusicError, match=words):
        read_score(data, "a.xml")


@given(st.binary(max_size=400))
def test_any_bytes_give_a_score_or_a_sentence(data: bytes) -> None:
    for start in (b"", b"<score-partwise>", b"PK\x03\x04", b"X:1\nK:G\n"):
        try:
            read_score(start + data)
        except MusicError as error:
            assert len(str(error)) > 10  # noqa: PT017


@given(st.data())
def test_a_damaged_file_gives_a_score_or_a_sentence(data: st.DataObject) -> None:
    good = as_xml_once()
    at = data.draw(st.integers(0, len(good) - 1))
    count = data.draw(st.integers(1, 40))
    filling = data.draw(st.binary(max_size=10))
    try:
        read_score(good[:at] + filling + good[at + count :])
    except MusicError as error:
        assert str(error)  # noqa: PT017


_kept: list[bytes] = []


def as_xml_once() -> bytes:
    if not _kept:
        _kept.append(as_xml(opened("airdsAirs/book1", 2)))
    return _kept[0]
