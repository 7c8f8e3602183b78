"""A key as somebody types or picks it: in the names shown now, in English, German or syllables."""

import re
import unicodedata

from practice.music.keys import ALL_KEYS, Key, parse_key
from practice.music.naming import MAJOR, MINOR, german

_STEPS = {"do": "C", "re": "D", "mi": "E", "fa": "F", "sol": "G", "la": "A", "si": "B"}
_MODES = {
    MAJOR: ("major", "maj", "dur", "mayor", "maggiore", "majeur", "maior"),
    MINOR: ("minor", "min", "moll", "menor", "minore", "mineur"),
}
_MODE = {word: mode for mode, words in _MODES.items() for word in words}
_SIGNS = {
    "#": ("sharp", "sostenido", "sustenido", "diesis", "diese", "#"),
    "b": ("flat", "bemol", "bemolle", "b"),
}
_SIGN = {word: sign for sign, words in _SIGNS.items() for word in words} | {"": ""}
# B alone is left out: whether it is flat is said by the names shown now.
_GERMAN = {
    german(step, alter).lower(): step + {-1: "b", 0: "", 1: "#"}[alter]
    for step in "CDEFGAB"
    for alter in (-1, 0, 1)
    if (step, alter) != ("B", -1)
}
_WORDS = "|".join(_MODE)
_TYPED_GERMAN = re.compile(rf"({'|'.join(_GERMAN)}) ?({_WORDS})")
_TYPED_SYLLABLE = re.compile(rf"({'|'.join(_STEPS)}) ?({'|'.join(_SIGN)}) ?({_WORDS})")


def typed_key(text: str) -> Key:
    """Read a key as it is shown now ("B-Dur" is B flat major where notes have German names), else
    "B flat minor", "fis-Moll" or "Si bemol menor". Raises UnknownKey naming the text."""
    plain = _plain(text)
    for key in ALL_KEYS:
        if plain in (_plain(key.told), _plain(key.sign)):
            return key
    found = _TYPED_GERMAN.fullmatch(plain)
    if found:
        return Key(_GERMAN[found[1]], _MODE[found[2]])
    found = _TYPED_SYLLABLE.fullmatch(plain)
    if found:
        return Key(_STEPS[found[1]] + _SIGN[found[2]], _MODE[found[3]])
    return parse_key(text)


def _plain(text: str) -> str:
    """Small letters without accents, signs as # and b, one space between words."""
    signed = text.replace("♯", "#").replace("♭", "b")
    letters = unicodedata.normalize("NFKD", signed).casefold()
    bare = "".join(letter for letter in letters if not unicodedata.combining(letter))
    return " ".join(re.sub(r"[-_\s]+", " ", bare).split())
