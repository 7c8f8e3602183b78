"""The header fields of ABC 2.1 this project reads: K: (key), M: (metre), L: (note length)."""

import re
from fractions import Fraction

from practice.music.errors import BadRhythm, MusicError, UnknownKey
from practice.music.keys import MAJOR, MINOR, Key, key_of
from practice.music.rhythm import Metre, parse_metre
from studio.language import gettext as _

# Sharps each mode has less or more than major on the same tonic (standard 2.1, section 3.1.14).
_MODES = {"": 0, "maj": 0, "ion": 0, "mix": -1, "dor": -2, "m": -3, "min": -3, "aeo": -3}
_MODES |= {"phr": -4, "loc": -5, "lyd": 1}
_KEY = re.compile(r"([A-G])([#b]?)\s*([A-Za-z]*)")
_LENGTH = re.compile(r"1(?:/(1|2|4|8|16|32|64))?")


def key_field(text: str) -> Key:
    """ "G", "F#m", "Bb minor", "Ddor" (taken as the major key of the same signature)."""
    text = text.strip()
    if text.lower() in ("", "none"):
        return Key("C", MAJOR)
    found = _KEY.fullmatch(text)
    mode = found[3].lower() if found else "?"
    mode = mode if mode == "m" else mode[:3]
    if not found or mode not in _MODES:
        raise UnknownKey(text, _("Write K:G, K:F#m or K:Bb."))
    tonic = found[1] + found[2]
    if _MODES[mode] == -3:
        return Key(tonic, MINOR)
    if _MODES[mode] == 0:
        return Key(tonic, MAJOR)
    fifths = "FCGDAEB".index(found[1]) - 1 + 7 * {"": 0, "#": 1, "b": -1}[found[2]]
    return key_of(fifths + _MODES[mode], MAJOR)


def metre_field(text: str) -> Metre:
    """ "3/4", "C", "C|". Raises BadRhythm."""
    return parse_metre(text)


def length_field(text: str) -> Fraction:
    """The unit note length of L:, as a fraction of a whole note."""
    found = _LENGTH.fullmatch(text.strip())
    if not found:
        words = _("“{text}” is not a note length. Write L:1/8.")
        raise BadRhythm(words.format(text=text.strip()))
    return Fraction(1, int(found[1] or 1))


def usual_length(metre: Metre) -> Fraction:
    """The note length where no L: is given (standard 2.1, section 3.1.7)."""
    return Fraction(1, 16) if metre.bar < 3 else Fraction(1, 8)


def read_field(line: str) -> Key | Metre | Fraction:
    """One field such as "K:G". Raises MusicError."""
    letter, _colon, text = line.partition(":")
    if letter == "K":
        return key_field(text)
    if letter == "M":
        return metre_field(text)
    if letter == "L":
        return length_field(text)
    raise MusicError(_("The field {letter}: is not read here.").format(letter=letter))
