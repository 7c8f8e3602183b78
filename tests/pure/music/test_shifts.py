import pytest

from practice.music.fingering import Rules, fingering
from practice.music.keys import parse_key
from practice.music.pitch import parse_pitch
from practice.music.scales import scale
from practice.music.shifts import explain_extensions, explain_shifts


def test_the_shift_up_says_which_finger_leads_and_what_was_out_of_reach() -> None:
    notes = scale(parse_key("A major"), octaves=3).there_and_back
    shifts = explain_shifts(notes, fingering(notes))
    first = shifts[0]
    assert (first.from_position, first.to_position) == (1, 4)
    assert first.reason == (
        "On B 5 (E string) the 1st finger takes fourth position after the 3rd finger, "
        "because C sharp 6 is out of reach in first position."
    )
    assert shifts[-1].to_position == 1


@pytest.mark.parametrize("name", ["G major", "B flat major", "E minor", "C sharp minor"])
def test_every_shift_has_a_reason(name: str) -> None:
    notes = scale(parse_key(name), octaves=3).there_and_back
    found = fingering(notes)
    shifts = explain_shifts(notes, found)
    assert [shift.index for shift in shifts] == list(found.shifts)
    assert all(shift.reason.endswith(".") and len(shift.reason) < 200 for shift in shifts)


def test_a_first_position_scale_has_no_shift() -> None:
    notes = scale(parse_key("G major"), octaves=2).there_and_back
    assert explain_shifts(notes, fingering(notes)) == ()


def test_extensions_are_named_with_their_place() -> None:
    notes = [parse_pitch(text) for text in ("E5", "C6", "B5")]
    found = fingering(notes, Rules(highest_position=1))
    assert explain_extensions(notes, found) == (
        "On C 6 (E string) the 4th finger is stretched out of first position.",
    )
    assert explain_extensions(notes[:1], fingering(notes[:1])) == ()
