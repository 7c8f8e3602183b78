import pytest

from practice.engraving.mei_file import read_mei
from practice.engraving.parts import WrongPart
from practice.engraving.safe_xml import parse_xml
from practice.music.abc_bar import read_abc
from practice.music.bowing_list import BOWINGS
from practice.music.bowings import Pattern
from practice.music.errors import MusicError
from practice.music.exercise import pour
from practice.music.keys import parse_key
from practice.music.line import Line, Note
from practice.music.mei import line_to_mei
from practice.music.scales import scale
from practice.music.score import Score

STAFF = '<staffDef n="1" keysig="1s" meter.count="2" meter.unit="4"/>'
A = '<note pname="a" oct="4" dur="4"/>'


def music(body: str, staves: str = STAFF) -> bytes:
    return (
        f"<mei><music><body><mdiv><score><scoreDef><staffGrp>{staves}</staffGrp></scoreDef>"
        f"<section>{body}</section></score></mdiv></body></music></mei>"
    ).encode()


def bar(layer: str, more: str = "", n: str = "1") -> str:
    return f'<measure n="{n}"><staff n="1"><layer>{layer}</layer></staff>{more}</measure>'


def read(body: str, **rest: str) -> Score:
    return read_mei(parse_xml(music(body, **rest)))


def plain(line: Line) -> list[Note]:
    """Notes without what MEI does not keep: the label of the string."""
    return [Note(**{f: getattr(n, f) for f in n.__slots__ if f != "string"}) for n in line.notes]


@pytest.mark.parametrize("pattern", BOWINGS, ids=lambda p: p.slug)
def test_what_this_program_writes_it_reads(pattern: Pattern) -> None:
    line = pour(pattern, scale(parse_key("E flat minor"), "harmonic", 2)).line
    back = read_mei(parse_xml(line_to_mei(line).encode())).line
    assert [n.pitch for n in plain(back)] == [n.pitch for n in plain(line)]
    for name in ("value", "bow", "slur_start", "slur_end", "tie", "finger"):
        theirs = [getattr(n, name) for n in back.notes]
        assert theirs == [getattr(n, name) for n in line.notes], name


def test_marks_and_double_stops_come_back() -> None:
    line = read_abc("M:4/4\nL:1/8\nK:Bb\n.A !tenuto!B !>!c [DB]2 {e}d2 z")
    back = read_mei(parse_xml(line_to_mei(line).encode())).line
    assert plain(back) == plain(line)


def test_accidentals_hold_to_the_bar_line_where_nothing_else_is_said() -> None:
    score = read(
        bar('<note pname="f" oct="4" dur="4"/><note pname="c" oct="5" dur="4" accid="s"/>'
            '<note pname="c" oct="5" dur="4"/>')
        + bar('<note pname="c" oct="5" dur="4"/>', n="2")
    )  # fmt: skip
    assert [p.name for p in score.line.pitches] == ["F#4", "C#5", "C#5", "C5"]


def test_slurs_ties_and_tuplets_by_attribute_and_by_event() -> None:
    layer = (
        '<note xml:id="a" pname="a" oct="4" dur="8" slur="i1"/><note xml:id="b" pname="b" oct="4" '
        'dur="8" slur="t1" tie="i"/><note xml:id="c" pname="b" oct="4" dur="8" tie="t"/>'
        '<note xml:id="d" pname="c" oct="5" dur="8"/><note xml:id="e" pname="d" oct="5" dur="8"/>'
    )
    events = (
        '<tupletSpan startid="#c" endid="#e" num="3" numbase="2"/><slur startid="#d" endid="#e"/>'
    )
    notes = read(bar(layer, events)).line.notes
    assert [n.slur_start for n in notes] == [True, False, False, True, False]
    assert notes[1].tie
    assert [n.value.code for n in notes] == ["8", "8", "8t", "8t", "8t"]


def test_endings_repeats_and_changes() -> None:
    first = bar(A, n='1" left="rptstart')
    second = bar(A, n='2" right="rptend')
    change = '<scoreDef keysig="2f" meter.count="3" meter.unit="4"/>'
    score = read(f'{first}<ending n="1">{second}</ending>{change}{bar(A, n="3")}')
    assert score.bars[0].repeat_start
    assert (score.bars[1].ending, score.bars[1].repeat_end) == ("1", True)
    assert score.bars[2].key == parse_key("B flat major")
    assert str(score.bars[2].metre) == "3/4"


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"<mei><music/></mei>", "has no music in it"),
        (music(""), "holds no notes"),
        (music(bar('<note pname="h" oct="4" dur="4"/>')), "without a letter or an octave"),
        (music(bar('<note pname="a" oct="4" dur="5"/>')), "“5” is no note value"),
        (
            music(bar('<tuplet num="x"><note pname="a" oct="4"/></tuplet>')),
            "“x” is no number",
        ),
        (
            music(bar('<note pname="a" oct="4" dur="4"/>'), '<staffDef n="1" keysig="mixed"/>'),
            "“mixed”",
        ),
        (music(bar('<note pname="c" oct="2" dur="4"/>')), "below the open G string"),
    ],
)
def test_broken_music_is_told(data: bytes, words: str) -> None:
    with pytest.raises(MusicError, match=words):
        read_mei(parse_xml(data))


def test_a_piano_score_is_refused_in_words() -> None:
    staves = '<staffGrp symbol="brace"><staffDef n="1"/><staffDef n="2" clef.shape="F"/></staffGrp>'
    with pytest.raises(WrongPart, match="for a keyboard"):
        read(bar('<note pname="a" oct="4" dur="4"/>'), staves=staves)
