import csv
from pathlib import Path

import pytest
from music21 import interval, roman
from music21 import key as m21key
from music21 import pitch as m21pitch
from music21 import scale as m21scale

from practice.music.errors import MusicError, OutOfRange
from practice.music.keys import ALL_KEYS, Key, parse_key
from practice.music.pitch import LOWEST, Pitch, parse_pitch
from practice.music.scales import Arpeggio, Form, arpeggio, forms_for, over_the_top, scale

ROWS = list(
    csv.reader(
        (Path(__file__).parent / "data" / "scales.csv").read_text().splitlines()[2:], delimiter=";"
    )
)
EVERY = [(key, form, n) for key in ALL_KEYS for form in forms_for(key) for n in (1, 2, 3)]
M21 = {
    Form.MAJOR: m21scale.MajorScale,
    Form.NATURAL: m21scale.MinorScale,
    Form.HARMONIC: m21scale.HarmonicMinorScale,
    Form.MELODIC: m21scale.MelodicMinorScale,
}


def spelled(pitches: tuple[Pitch, ...]) -> list[str]:
    return [p.name for p in pitches]


def theirs(pitches: list[m21pitch.Pitch]) -> list[str]:
    return [p.nameWithOctave.replace("-", "b") for p in pitches]


def m21_tonic(key: Key) -> str:
    return key.tonic.replace("b", "-")


@pytest.mark.parametrize(
    "row", [r for r in ROWS if r[2] != "arpeggio"], ids=lambda r: f"{r[0]} {r[2]}"
)
def test_two_octaves_match_the_stored_table(row: list[str]) -> None:
    run = scale(parse_key(row[0]), row[2], 2)
    assert spelled(run.up) == row[3].split()
    assert spelled(run.down) == row[4].split()


@pytest.mark.parametrize("row", [r for r in ROWS if r[2] == "arpeggio"], ids=lambda r: r[0])
def test_arpeggios_match_the_stored_table(row: list[str]) -> None:
    assert spelled(arpeggio(parse_key(row[0]), "tonic", 2).up) == row[3].split()


@pytest.mark.parametrize(("key", "form", "octaves"), EVERY, ids=str)
def test_spelling_agrees_with_music21(key: Key, form: Form, octaves: int) -> None:
    run = scale(key, form, octaves)
    low = run.up[0].name.replace("b", "-")
    high = m21_tonic(key) + str(run.up[0].octave + octaves)
    other = M21[form](m21_tonic(key))
    up = other.getPitches(low, high, direction=m21scale.Direction.ASCENDING)
    down = other.getPitches(low, high, direction=m21scale.Direction.DESCENDING)
    assert spelled(run.up) == theirs(up)
    assert spelled(run.down) == theirs(sorted(down, key=lambda p: -p.ps))


@pytest.mark.parametrize("key", ALL_KEYS, ids=str)
@pytest.mark.parametrize("kind", list(Arpeggio))
def test_arpeggios_agree_with_music21(key: Key, kind: Arpeggio) -> None:
    tonic = m21_tonic(key)
    other = m21key.Key(tonic if key.mode == "major" else tonic.lower())
    minor = m21key.Key(tonic.lower())
    numerals = {
        Arpeggio.TONIC: (other.tonic, "P5", "M3" if key.mode == "major" else "m3"),
        Arpeggio.PARALLEL: (other.tonic, "P5", "m3" if key.mode == "major" else "M3"),
        Arpeggio.RELATIVE: (other.relative.tonic, "P5", "m3" if key.mode == "major" else "M3"),
    }
    if kind in numerals:
        root, fifth, third = numerals[kind]
        chord = [root, root.transpose(interval.Interval(third)), root.transpose(fifth)]
        names = [p.name for p in chord]
    elif kind is Arpeggio.DOMINANT7:
        names = [p.name for p in roman.RomanNumeral("V7", other).pitches]
    else:
        names = [p.name for p in roman.RomanNumeral("viio7", minor).pitches]
    ours = [p.name[:-1] for p in arpeggio(key, kind, 1).up]
    assert ours == [name.replace("-", "b") for name in (*names, names[0])]


@pytest.mark.parametrize("key", ALL_KEYS, ids=str)
def test_starts_on_the_lowest_tonic_of_the_violin(key: Key) -> None:
    first = scale(key).up[0]
    assert LOWEST.midi <= first.midi < LOWEST.midi + 12


@pytest.mark.parametrize("octaves", [0, 4, -1])
def test_octaves_the_violin_does_not_have_are_refused(octaves: int) -> None:
    with pytest.raises(OutOfRange, match=f"{octaves} octaves"):
        scale(parse_key("G major"), octaves=octaves)


def test_a_form_the_key_does_not_have_is_named() -> None:
    with pytest.raises(MusicError, match="“harmonic” is not a form of G major"):
        scale(parse_key("G major"), "harmonic")
    with pytest.raises(MusicError, match="“ninth” is not an arpeggio"):
        arpeggio(parse_key("G major"), "ninth")


def test_the_top_note_is_played_once() -> None:
    run = scale(parse_key("G major"), octaves=1)
    assert " ".join(spelled(run.there_and_back)) == "G3 A3 B3 C4 D4 E4 F#4 G4 F#4 E4 D4 C4 B3 A3 G3"


def test_names_say_the_form() -> None:
    assert scale(parse_key("Bb minor"), "harmonic").name == "B flat harmonic minor"
    assert arpeggio(parse_key("G major"), "relative").name == "E minor"
    assert arpeggio(parse_key("G major"), "dominant7").name == "D dominant seventh"


def test_a_scale_on_one_string_begins_above_it() -> None:
    run = scale(parse_key("F major"), octaves=1, above=parse_pitch("D4"))
    assert (run.up[0].name, run.up[-1].name) == ("F4", "F5")


def test_going_over_the_top() -> None:
    run = over_the_top(scale(parse_key("A minor"), "melodic", 1), 2)
    assert spelled(run.up)[-3:] == ["A4", "B4", "C5"]
    assert spelled(run.down)[:4] == ["C5", "B4", "A4", "G4"]
    assert run.name == "A melodic minor, two notes over the top"
    with pytest.raises(OutOfRange, match="0 notes over the top"):
        over_the_top(run, 0)
