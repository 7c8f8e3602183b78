from typing import cast

import pytest
from music21.lily.translate import LilypondConverter
from music21.pitch import Pitch as Other

from practice.music.errors import UnknownKey
from practice.music.keys import ALL_KEYS, Key, key_told, parse_key
from practice.music.naming import string_name
from practice.music.own_fingers import Own, parse_own
from practice.music.pitch import STEPS, Pitch
from practice.music.typed_keys import typed_key
from studio.language import GERMAN, LETTERS, SYLLABLES, naming

EVERY = [Pitch(step, alter, 4) for step in STEPS for alter in range(-2, 3)]


def other(pitch: Pitch) -> Other:
    return Other(pitch.step + {-2: "--", -1: "-", 0: "", 1: "#", 2: "##"}[pitch.alter])


@pytest.mark.parametrize("pitch", EVERY, ids=str)
def test_german_names_agree_with_music21(pitch: Pitch) -> None:
    # music21 says Ases; Asas is the form of German dictionaries and theory books (from memory).
    wanted = {"Ases": "Asas"}.get(other(pitch).german, other(pitch).german)
    with naming(GERMAN):
        assert pitch.text(octave=False) == pitch.sign == wanted


@pytest.mark.parametrize("octave", range(10))
def test_german_octaves_agree_with_music21(octave: int) -> None:
    """Strokes are those of music21's LilyPond text, whose octaves are Helmholtz's: c' is C4."""
    nobody = cast(LilypondConverter, None)  # one could be made only where LilyPond is installed
    strokes = LilypondConverter.octaveCharactersFromPitch(nobody, Other(f"F#{octave}"))
    high, low = strokes.count("'"), strokes.count(",")
    letter = "fis" if octave > 2 else "Fis"
    sign = "" if high == 0 else "¹²³⁴⁵⁶"[high - 1]
    below = "" if low < 2 else "₁₂"[low - 2]  # a capital letter is the first of them
    with naming(GERMAN):
        assert Pitch("F", 1, octave).text() == letter + sign + below


def test_the_strings_are_called_as_on_a_german_violin() -> None:
    with naming(GERMAN):
        strings = [Pitch(*each).text() for each in (("G", 0, 3), ("D", 0, 4), ("A", 0, 4))]
        assert [*strings, Pitch("E", 0, 5).text()] == ["g", "d¹", "a¹", "e²"]  # from memory


@pytest.mark.parametrize("pitch", EVERY, ids=str)
def test_syllables_agree_with_music21(pitch: Pitch) -> None:
    with naming(SYLLABLES):
        assert pitch.text(octave=False).split()[0].lower() == other(pitch).italian.split()[0]


def test_letters_are_as_they_were() -> None:
    with naming(LETTERS):
        assert [Pitch("B", alter, 4).text() for alter in range(-2, 3)] == [
            "B double flat 4",
            "B flat 4",
            "B 4",
            "B sharp 4",
            "B double sharp 4",
        ]
        assert Pitch("F", 2, 5).sign == "F𝄪"


@pytest.mark.parametrize("names", [LETTERS, GERMAN, SYLLABLES])
@pytest.mark.parametrize("key", ALL_KEYS, ids=str)
def test_what_is_stored_is_english_and_what_is_shown_is_read_back(key: Key, names: str) -> None:
    stored = key.name
    with naming(names):
        assert key.name == stored
        assert parse_key(key.name) == parse_key(key.slug) == key
        assert typed_key(key.told) == typed_key(key.sign) == typed_key(key.told.upper()) == key
        assert key_told(stored) == key.told


def test_b_alone_is_read_as_it_is_shown() -> None:
    with naming(GERMAN):
        assert typed_key("B major") == parse_key("B flat major")
        assert parse_key("B major").told == "H major"
    with naming(LETTERS):
        assert typed_key("B major") == parse_key("B major")
        with pytest.raises(UnknownKey):
            typed_key("B-Dur")


@pytest.mark.parametrize(
    ("typed", "stored"),
    [
        ("h-Moll", "B minor"),
        ("fis moll", "F sharp minor"),
        ("Es-Dur", "E flat major"),
        ("asdur", "A flat major"),
        ("Si bemol menor", "B flat minor"),
        ("do sostenido menor", "C sharp minor"),
        ("Ré majeur", "D major"),
        ("fa dièse mineur", "F sharp minor"),
        ("mi♭ maggiore", "E flat major"),
        ("Bb minor", "B flat minor"),
        ("B-flat-minor", "B flat minor"),
    ],
)
@pytest.mark.parametrize("names", [LETTERS, GERMAN, SYLLABLES])
def test_keys_are_read_as_teachers_of_other_lands_type_them(
    typed: str, stored: str, names: str
) -> None:
    with naming(names):
        assert typed_key(typed).name == stored


@pytest.mark.parametrize("typed", ["", "Dur", "hm", "si", "es", "Gis-Dur", "H flat major"])
def test_what_is_no_key_is_named(typed: str) -> None:
    with pytest.raises(UnknownKey):
        typed_key(typed)


@pytest.mark.parametrize("names", [LETTERS, GERMAN, SYLLABLES])
@pytest.mark.parametrize("own", [Own(4), Own(0), Own(2, "A"), Own(None, "G"), Own(1, "D")])
def test_fingers_are_read_back_as_they_are_shown(own: Own, names: str) -> None:
    with naming(names):
        assert parse_own(own.shown) == own
        assert parse_own(own.text) == own


def test_strings_keep_their_letters_but_among_syllables() -> None:
    told = {}
    for names in (LETTERS, GERMAN, SYLLABLES):
        with naming(names):
            told[names] = [string_name(letter) for letter in "GDAE"]
    assert told[LETTERS] == told[GERMAN] == ["G", "D", "A", "E"]
    assert told[SYLLABLES] == ["Sol", "Re", "La", "Mi"]
