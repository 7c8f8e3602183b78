"""What notes, strings and keys are called, by the studio's names of notes and its language.

Stored, parsed and used in addresses are plain English names (`Pitch.name`, `Key.name`); what
stands here is for eyes and ears alone.
"""

from studio.language import GERMAN, SYLLABLES, note_names, pgettext
from studio.language import gettext as _

MAJOR, MINOR = "major", "minor"
_SIGNS = {-2: "𝄫", -1: "♭", 0: "", 1: "♯", 2: "𝄪"}
_ENDINGS = {-2: "eses", -1: "es", 0: "", 1: "is", 2: "isis"}
# German names that do not follow the endings: E and A lose a vowel, B flat has its own letter.
# no words: names of notes
_GERMAN = {("E", -1): "Es", ("E", -2): "Eses", ("A", -1): "As", ("A", -2): "Asas", ("B", -1): "B"}

_GREAT, _SMALL = 2, 3  # the octaves C to B that German writes with a capital and a small letter
_HIGH, _LOW = str.maketrans("123456", "¹²³⁴⁵⁶"), str.maketrans("12", "₁₂")


def tone(step: str, alter: int) -> str:
    """To be read aloud: "F sharp", "Fis" or "Fa sharp"; `step` C to B, `alter` -2 to 2."""
    if note_names() == GERMAN:
        return german(step, alter)
    name = _plain(step)
    if alter == 0:
        return name
    pattern = {
        -2: pgettext("a note", "{note} double flat"),
        -1: pgettext("a note", "{note} flat"),
        1: pgettext("a note", "{note} sharp"),
        2: pgettext("a note", "{note} double sharp"),
    }[alter]
    return pattern.format(note=name)


def tone_in_octave(step: str, alter: int, octave: int) -> str:
    """ "F sharp 5" in scientific octaves, where C4 is middle C; German "fis²" in Helmholtz's.

    Great octave C, small c, then as many strokes as its name says: c¹ is middle C.
    """
    name = tone(step, alter)
    if note_names() != GERMAN:
        return f"{name} {octave}"
    if octave < _SMALL:
        return name + str(_GREAT - octave).translate(_LOW) if octave < _GREAT else name
    return name.lower() + (str(octave - _SMALL).translate(_HIGH) if octave > _SMALL else "")


def tone_sign(step: str, alter: int) -> str:
    """With the printed sign: "F♯", "Fis" or "Fa♯"."""
    return german(step, alter) if note_names() == GERMAN else _plain(step) + _SIGNS[alter]


def natural(step: str) -> str:
    """A note without sign where one is expected: "F natural"."""
    name = german(step, 0) if note_names() == GERMAN else _plain(step)
    return pgettext("a note", "{note} natural").format(note=name)


def string_name(letter: str) -> str:
    """What the string G, D, A or E is called: the letter itself, or Sol, Re, La, Mi."""
    return _plain(letter) if letter else ""


def string_label(letter: str) -> str:
    """ "A string", as it is printed over notes."""
    return _("{string} string").format(string=string_name(letter))


def key_in_words(step: str, alter: int, mode: str) -> str:
    """ "B flat minor"; German "b-Moll", "B-Dur"."""
    return _key_pattern(mode).format(tonic=tonic(tone(step, alter), mode))


def key_with_sign(step: str, alter: int, mode: str) -> str:
    """ "B♭ minor", where a music font is at hand; German "b-Moll"."""
    return _key_pattern(mode).format(tonic=tonic(tone_sign(step, alter), mode))


def tonic(name: str, mode: str) -> str:
    """A note's name as it stands in a key: German writes that of a minor key small."""
    letter = pgettext("German name of a minor key’s note: capital or small", "capital")
    small = mode == MINOR and note_names() == GERMAN and letter == "small"
    return name.lower() if small else name


def mode_in_words(mode: str) -> str:
    """ "major", "minor" by itself."""
    return pgettext("mode", "major") if mode == MAJOR else pgettext("mode", "minor")


def german(step: str, alter: int) -> str:
    """The German name: B natural is H, B flat is B."""
    named = _GERMAN.get((step, alter))
    return named or {"B": "H"}.get(step, step) + _ENDINGS[alter]


def _key_pattern(mode: str) -> str:
    return _("{tonic} major") if mode == MAJOR else _("{tonic} minor")


def _plain(step: str) -> str:
    if note_names() != SYLLABLES:
        return step
    return {
        "C": pgettext("a note", "Do"),
        "D": pgettext("a note", "Re"),
        "E": pgettext("a note", "Mi"),
        "F": pgettext("a note", "Fa"),
        "G": pgettext("a note", "Sol"),
        "A": pgettext("a note", "La"),
        "B": pgettext("a note", "Si"),
    }[step]
