"""The thirty keys of the circle of fifths."""

import re
from dataclasses import dataclass

from practice.music.errors import UnknownKey
from practice.music.naming import MAJOR as MAJOR
from practice.music.naming import MINOR as MINOR
from practice.music.naming import key_in_words, key_with_sign
from practice.music.pitch import Pitch
from studio.language import gettext as _

_FIFTHS = "FCGDAEB"  # order in which sharps enter a signature; flats enter from the right
_ALTER_WORDS = {"": 0, "#": 1, "♯": 1, "sharp": 1, "b": -1, "♭": -1, "flat": -1}
_KEY = re.compile(r"([a-g])\s*(sharp|flat|#|b|♯|♭)?\s*(major|minor|maj|min)", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Key:
    """`tonic` is a letter with # or b ("Bb"), `mode` is "major" or "minor"."""

    tonic: str
    mode: str

    def __post_init__(self) -> None:
        well_formed = re.fullmatch(r"[A-G][#b]?", self.tonic) and self.mode in (MAJOR, MINOR)
        if not well_formed:
            raise UnknownKey(f"{self.tonic} {self.mode}")
        if abs(self.signature) > 7:
            words = _("It would need {signs} signs; write {key} instead.")
            said = words.format(signs=abs(self.signature), key=_respell(self).told)
            raise UnknownKey(self.told, said)

    @property
    def step(self) -> str:
        return self.tonic[0]

    @property
    def alter(self) -> int:
        return {"": 0, "#": 1, "b": -1}[self.tonic[1:]]

    @property
    def name(self) -> str:
        """ "B flat minor"; what is stored, in every language; read back by `parse_key`."""
        return f"{_tonic_text(self)} {self.mode}"

    @property
    def slug(self) -> str:
        """ "B-flat-minor", for addresses; `parse_key` reads it too."""
        return self.name.replace(" ", "-")

    @property
    def told(self) -> str:
        """What is shown: "B flat minor", in German "b-Moll"."""
        return key_in_words(self.step, self.alter, self.mode)

    @property
    def sign(self) -> str:
        """ "B♭ minor", where a music font is at hand; in German "b-Moll"."""
        return key_with_sign(self.step, self.alter, self.mode)

    @property
    def signature(self) -> int:
        """Sharps (positive) or flats (negative) in the signature, -7 to 7."""
        place = _FIFTHS.index(self.step) - 1 + 7 * self.alter
        return place - 3 if self.mode == MINOR else place

    @property
    def altered(self) -> dict[str, int]:
        """Letter to alteration for the letters the signature changes."""
        count = self.signature
        letters = _FIFTHS[:count] if count >= 0 else _FIFTHS[count:]
        return dict.fromkeys(letters, 1 if count > 0 else -1)

    @property
    def relative(self) -> "Key":
        """Same signature, other mode: G major and E minor."""
        return key_of(self.signature, MINOR if self.mode == MAJOR else MAJOR)

    @property
    def parallel(self) -> "Key | None":
        """Same tonic, other mode; None where that key would need more than seven signs."""
        other = MINOR if self.mode == MAJOR else MAJOR
        shift = -3 if other == MINOR else 3
        return Key(self.tonic, other) if abs(self.signature + shift) <= 7 else None

    @property
    def neighbours(self) -> tuple["Key", ...]:
        """The keys a fifth below and above on the circle, where they exist."""
        around = (self.signature - 1, self.signature + 1)
        return tuple(key_of(count, self.mode) for count in around if abs(count) <= 7)

    def pitch(self, octave: int) -> Pitch:
        """The tonic in an octave."""
        return Pitch(self.step, self.alter, octave)

    def written(self, step: str) -> int:
        """Alteration the signature gives a letter."""
        return self.altered.get(step, 0)

    def __str__(self) -> str:
        return self.name


def _tonic_text(key: Key) -> str:
    return key.step + {0: "", 1: " sharp", -1: " flat"}[key.alter]


def _respell(key: Key) -> Key:
    return key_of(key.signature - 12 if key.signature > 0 else key.signature + 12, key.mode)


def key_of(signature: int, mode: str) -> Key:
    """The key with so many sharps (positive) or flats (negative)."""
    if not -7 <= signature <= 7 or mode not in (MAJOR, MINOR):
        told = _("{n} signs").format(n=signature)
        raise UnknownKey(told, _("A signature has at most seven signs."))
    place = signature + (4 if mode == MINOR else 1)
    octave, index = divmod(place, 7)
    return Key(_FIFTHS[index] + {-1: "b", 0: "", 1: "#"}[octave], mode)


def parse_key(text: str) -> Key:
    """Read what is stored: "B flat minor", "Bb minor", "B♭ minor", "B-flat-minor", in whatever
    language is spoken. Raises UnknownKey. What somebody typed goes to `typed_key`."""
    found = _KEY.fullmatch(re.sub(r"[-_\s]+", " ", text.strip()))
    if not found:
        raise UnknownKey(text)
    mode = MAJOR if found[3].lower().startswith("maj") else MINOR
    alter = _ALTER_WORDS[(found[2] or "").lower()]
    return Key(found[1].upper() + {0: "", 1: "#", -1: "b"}[alter], mode)


def key_told(stored: str) -> str:
    """A stored key as it is shown; a text that is no key stands as it is."""
    try:
        return parse_key(stored).told
    except UnknownKey:
        return stored


ALL_KEYS: tuple[Key, ...] = tuple(
    key_of(count, mode) for mode in (MAJOR, MINOR) for count in range(-7, 8)
)

# By fifths from the keys that lie best under a beginner's hand (A, D and G major share one
# finger pattern per string): first towards the flats, then the sharp keys left over.
# Common practice, no source.
USUAL_ORDER: tuple[Key, ...] = tuple(
    parse_key(f"{tonic} {mode}")
    for mode, tonics in (
        (MAJOR, ("A", "D", "G", "C", "F", "Bb", "Eb", "Ab", "E", "B", "F#", "Db")),
        (MINOR, ("E", "A", "D", "G", "C", "F", "B", "F#", "C#", "G#", "Bb", "Eb")),
    )
    for tonic in tonics
)


def next_key(key: Key, order: tuple[Key, ...] = USUAL_ORDER) -> Key:
    """The key to suggest after this one, in the same mode; after the last comes the first.

    A key outside the order (C sharp major, say) continues from the key that sounds the same.
    A suggestion only: the teacher may choose any key. Common practice, no source.
    """
    same = [other for other in order if other.mode == key.mode]
    if not same:
        return key
    sounding = [other for other in same if _sounds_like(other, key)]
    if not sounding:
        return same[0]
    return same[(same.index(sounding[0]) + 1) % len(same)]


def _sounds_like(one: Key, other: Key) -> bool:
    return one.mode == other.mode and (one.signature - other.signature) % 12 == 0
