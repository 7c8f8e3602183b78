import pytest

from practice.engraving.musicxml import read_musicxml
from practice.engraving.parts import WrongPart
from practice.engraving.safe_xml import BadFile, parse_xml
from practice.music.errors import MusicError
from practice.music.score import Score, counts

FIRST = (
    "<attributes><divisions>2</divisions><key><fifths>1</fifths></key>"
    "<time><beats>3</beats><beat-type>4</beat-type></time><clef><sign>G</sign><line>2</line></clef>"
    "</attributes>"
)


def note(step: str, octave: int, kind: str = "quarter", more: str = "", alter: int = 0) -> str:
    sharp = f"<alter>{alter}</alter>" if alter else ""
    return (
        f"<note><pitch><step>{step}</step>{sharp}<octave>{octave}</octave></pitch>"
        f"<duration>1</duration><type>{kind}</type>{more}</note>"
    )


TUPLET = (
    "<time-modification><actual-notes>3</actual-notes><normal-notes>2</normal-notes>"
    "</time-modification>"
)


def attributes(inside: str) -> str:
    return f"<attributes>{inside}</attributes>{note('A', 4)}"


def marks(inside: str) -> str:
    return f"<notations>{inside}</notations>"


def file(*measures: str, head: str = "", name: str = "Violin") -> bytes:
    bars = "".join(
        f'<measure number="{i}">{FIRST if i == 1 else ""}{music}</measure>'
        for i, music in enumerate(measures, start=1)
    )
    return (
        f"<score-partwise>{head}<part-list><score-part id='P1'><part-name>{name}</part-name>"
        f"</score-part></part-list><part id='P1'>{bars}</part></score-partwise>"
    ).encode()


def read(*measures: str, **rest: str) -> Score:
    return read_musicxml(parse_xml(file(*measures, **rest)))


def test_reads_pitch_value_bow_finger_slur_and_articulation() -> None:
    score = read(
        note("E", 5, "quarter", marks("<technical><down-bow/><fingering>4</fingering></technical>"))
        + note("C", 5, "eighth", marks('<slur type="start"/><technical><up-bow/></technical>'))
        + note("D", 5, "eighth", marks('<slur type="stop"/>'))
        + note("F", 5, "quarter", "<dot/>" + marks("<articulations><staccato/></articulations>"), 1)
    )
    notes = score.bars[0].notes
    assert [n.pitch.name for n in notes if n.pitch] == ["E5", "C5", "D5", "F#5"]
    assert [n.value.code for n in notes] == ["4", "8", "8", "4."]
    assert [n.bow for n in notes] == ["down", "up", "", ""]
    assert notes[0].finger == 4
    assert (notes[1].slur_start, notes[2].slur_end) == (True, True)
    assert notes[3].articulation == "staccato"
    assert score.line.key.name == "G major"
    assert str(score.line.metre) == "3/4"


def test_a_slur_ends_and_another_begins_on_one_note() -> None:
    both = marks('<slur type="stop" number="1"/><slur type="start" number="1"/>')
    score = read(
        note("A", 4, more=marks('<slur type="start"/>'))
        + note("B", 4, more=both)
        + note("C", 5, more=marks('<slur type="stop"/>'))
    )
    assert [n.slur_start for n in score.line.notes] == [True, True, False]
    assert [n.slur_end for n in score.line.notes] == [False, True, True]


def test_ties_tuplets_graces_double_stops_and_rests() -> None:
    grace = note("C", 5, "eighth").replace("<note>", "<note><grace/>")
    chord = note("B", 4, "half").replace("<note>", "<note><chord/>")
    rest = "<note><rest/><duration>2</duration></note>"
    score = read(
        note("A", 4, "eighth", TUPLET) * 3 + grace + note("G", 4, "half", '<tie type="start"/>'),
        note("G", 4, "half", '<tie type="stop"/>') + chord + rest,
    )
    assert [n.value.code for n in score.bars[0].notes[:3]] == ["8t"] * 3
    assert score.bars[0].notes[3].grace
    assert score.bars[0].notes[4].tie
    assert [p.name for p in score.bars[1].notes[0].chord] == ["B4"]
    found = counts(score)
    assert (found.notes, found.graces, found.ties, found.rests) == (5, 1, 1, 1)


def test_a_whole_bar_of_rest_fills_the_metre() -> None:
    rest = '<note><rest measure="yes"/><duration>6</duration></note>'
    score = read(note("A", 4, "half", "<dot/>"), rest)
    assert [n.value.code for n in score.bars[1].notes] == ["r2."]


def test_repeats_endings_pickups_and_printed_numbers() -> None:
    repeat = '<barline location="right"><repeat direction="backward"/></barline>'
    start = '<barline location="left"><repeat direction="forward"/></barline>'
    ending = '<barline location="left"><ending number="1" type="start"/></barline>'
    data = file(note("D", 5), start + note("A", 4) * 3, ending + note("B", 4) * 3 + repeat)
    data = data.replace(b'<measure number="1">', b'<measure number="0" implicit="yes">')
    data = data.replace(b'number="2">', b'number="1">').replace(b'number="3">', b'number="2">')
    bars = read_musicxml(parse_xml(data)).bars
    assert [bar.number for bar in bars] == ["", "1", "2"]
    assert bars[1].repeat_start
    assert (bars[2].ending, bars[2].repeat_end) == ("1", True)


def test_title_composer_and_part_are_read() -> None:
    head = (
        "<work><work-title>Minuet</work-title></work><identification>"
        '<creator type="composer">Petzold</creator></identification>'
    )
    score = read(note("A", 4) * 3, head=head)
    assert (score.title, score.composer, score.part) == ("Minuet", "Petzold", "Violin")


def test_the_violin_is_found_beside_a_piano() -> None:
    data = file(note("A", 4) * 3).decode()
    measure = f"<attributes><staves>2</staves></attributes>{note('C', 3)}"
    piano = f'<part id="P2"><measure number="1">{measure}</measure></part></score-partwise>'
    listed = '<score-part id="P2"><part-name>Piano</part-name></score-part></part-list>'
    data = data.replace("</part-list>", listed).replace("</score-partwise>", piano)
    score = read_musicxml(parse_xml(data.encode()))
    assert score.remarks == ("Read: Violin. Left out: Piano.",)


def test_a_piano_score_is_refused_in_words() -> None:
    with pytest.raises(WrongPart, match="for a keyboard"):
        read("<attributes><staves>2</staves></attributes>" + note("A", 4), name="Piano")


def test_a_transposing_part_is_refused_in_words() -> None:
    clarinet = "<attributes><transpose><chromatic>-2</chromatic></transpose></attributes>"
    with pytest.raises(WrongPart, match="Clarinet is a transposing part: it sounds 2 sem"):
        read(clarinet + note("A", 4), name="Clarinet")


def test_other_clefs_and_low_notes_are_refused_in_words() -> None:
    data = file(note("C", 3)).replace(b"<sign>G</sign>", b"<sign>F</sign>")
    with pytest.raises(WrongPart, match="not written in the treble clef"):
        read_musicxml(parse_xml(data))
    with pytest.raises(MusicError, match="bar 1 has C 3, below the open G string"):
        read(note("C", 3))


def test_a_second_voice_is_left_out_and_told() -> None:
    score = read(note("A", 4, more="<voice>1</voice>") + note("C", 4, more="<voice>2</voice>"))
    assert len(score.line.notes) == 1
    assert score.remarks == ("A second voice was left out in bar 1.",)


@pytest.mark.parametrize(
    ("music", "words"),
    [
        ("", "holds no notes"),
        (note("H", 4), "is no note"),
        (note("A", 99), "is no note"),
        (note("A", 4, more=TUPLET.replace("3", "0")), "tuplet of 0"),
        (note("A", 4).replace("<octave>4", "<octave>x"), "“x” is no number"),
        (attributes("<key><fifths>12</fifths></key>"), "seven signs"),
        (attributes("<key><fifths>1e999999</fifths></key>"), "“1e999999” is no number"),
        (attributes(f"<staves>{'9' * 5000}</staves>"), "is no number \\(staves\\)"),
        (attributes("<time><beats>3</beats><beat-type>7</beat-type></time>"), "“3/7”"),
    ],
)
def test_broken_music_is_told(music: str, words: str) -> None:
    with pytest.raises(MusicError, match=words):
        read(music)


def test_timewise_files_are_told() -> None:
    with pytest.raises(BadFile, match="time-wise"):
        read_musicxml(parse_xml(b"<score-timewise/>"))
