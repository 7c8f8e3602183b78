from practice.music.keys import parse_key
from practice.music.line import Bar, Line, Note
from practice.music.pitch import parse_pitch
from practice.music.rhythm import Value


def test_a_note_between_two_slurs_ends_the_one_and_begins_the_other() -> None:
    marks = ((True, False), (True, True), (False, True), (False, False))
    notes = tuple(
        Note(Value(4), parse_pitch("A4"), slur_start=start, slur_end=end) for start, end in marks
    )
    line = Line(parse_key("C major"), None, (Bar(notes),))
    assert line.slurred == (False, True, True, False)
