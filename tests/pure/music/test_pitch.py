import pytest
from hypothesis import given
from hypothesis import strategies as st

from practice.music.errors import UnknownPitch
from practice.music.pitch import STEPS, Pitch, parse_pitch

pitches = st.builds(
    Pitch, st.sampled_from(STEPS), st.integers(min_value=-2, max_value=2), st.integers(3, 6)
)


# MIDI numbers of the open strings G3 D4 A4 E5: 55, 62, 69, 76 (ISO 16 puts A4 at 440 Hz;
# numbering of the MIDI 1.0 standard, A4 = 69).
@pytest.mark.parametrize(
    ("text", "midi"), [("G3", 55), ("D4", 62), ("A4", 69), ("E5", 76), ("C4", 60), ("B#3", 60)]
)
def test_counts_semitones_as_midi_does(text: str, midi: int) -> None:
    assert parse_pitch(text).midi == midi


def test_reads_aloud_and_prints_the_sign() -> None:
    assert parse_pitch("F#4").text() == "F sharp 4"
    assert parse_pitch("Bb3").text(octave=False) == "B flat"
    assert parse_pitch("F##4").text() == "F double sharp 4"
    assert parse_pitch("F♯4").sign == "F♯"


@given(pitches)
def test_name_is_read_back(pitch: Pitch) -> None:
    assert parse_pitch(pitch.name) == pitch


@given(pitches, st.integers(-7, 7), st.integers(-1, 1))
def test_an_interval_keeps_letter_and_semitones(pitch: Pitch, steps: int, off: int) -> None:
    semitones = round(steps * 12 / 7) + off
    try:
        other = pitch.up(steps, semitones)
    except UnknownPitch:
        return
    assert other.midi - pitch.midi == semitones
    assert other.diatonic - pitch.diatonic == steps


def test_sorts_by_sound_then_by_letter() -> None:
    assert sorted(map(parse_pitch, ["C4", "B#3", "A3"])) == [
        parse_pitch(name) for name in ("A3", "B#3", "C4")
    ]


@pytest.mark.parametrize("text", ["", "H4", "F", "F###4", "4F", "F4 "[::-1] + "x"])
def test_what_is_no_note_is_named(text: str) -> None:
    with pytest.raises(UnknownPitch, match=f"“{text}” is not a note"):
        parse_pitch(text)
