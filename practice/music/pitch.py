"""A written pitch: letter, alteration and octave (scientific: middle C is C4, the A string A4)."""

import re
from dataclasses import dataclass
from functools import total_ordering

from practice.music.errors import UnknownPitch
from practice.music.naming import tone, tone_in_octave, tone_sign

STEPS = "CDEFGAB"
_SEMITONES = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
_ASCII = {-2: "bb", -1: "b", 0: "", 1: "#", 2: "##"}
_PITCH = re.compile(r"([A-Ga-g])(##|bb|#|b|x|♯|♭|𝄪|𝄫)?(\d)")
_ALTER = {None: 0, "#": 1, "♯": 1, "b": -1, "♭": -1, "##": 2, "x": 2, "𝄪": 2, "bb": -2, "𝄫": -2}


@total_ordering
@dataclass(frozen=True, slots=True)
class Pitch:
    """`step` is a letter C to B, `alter` semitones -2 to 2, `octave` 0 to 9."""

    step: str
    alter: int
    octave: int

    @property
    def midi(self) -> int:
        """Semitones with A4 = 69 (MIDI numbering); B sharp 3 and C4 are both 60."""
        return 12 * (self.octave + 1) + _SEMITONES[self.step] + self.alter

    @property
    def diatonic(self) -> int:
        """Letter steps from C0, blind to sharps and flats: E4 is one above D4."""
        return 7 * self.octave + STEPS.index(self.step)

    @property
    def name(self) -> str:
        """Plain letters, read back by `parse_pitch`: "F#4", "Bb3"."""
        return f"{self.step}{_ASCII[self.alter]}{self.octave}"

    @property
    def sign(self) -> str:
        """With the printed sign and no octave: "F♯", in German "Fis"."""
        return tone_sign(self.step, self.alter)

    def text(self, *, octave: bool = True) -> str:
        """To be read aloud: "F sharp 4", or "F sharp" without the octave; as `naming` says."""
        if octave:
            return tone_in_octave(self.step, self.alter, self.octave)
        return tone(self.step, self.alter)

    def up(self, steps: int, semitones: int) -> "Pitch":
        """This pitch moved by an interval: `up(2, 4)` is a major third, `up(-7, -12)` an octave."""
        octave, step = divmod(self.diatonic + steps, 7)
        natural = 12 * (octave + 1) + _SEMITONES[STEPS[step]]
        alter = self.midi + semitones - natural
        if abs(alter) > 2:
            raise UnknownPitch(f"{STEPS[step]}{alter:+d}{octave}")
        return Pitch(STEPS[step], alter, octave)

    def __lt__(self, other: "Pitch") -> bool:
        return (self.midi, self.diatonic) < (other.midi, other.diatonic)

    def __str__(self) -> str:
        return self.name


def parse_pitch(text: str) -> Pitch:
    """Read "F#4", "Bb3", "F♯4" or "Fx4" (double sharp). Raises UnknownPitch."""
    found = _PITCH.fullmatch(text.strip())
    if not found:
        raise UnknownPitch(text)
    return Pitch(found[1].upper(), _ALTER[found[2]], int(found[3]))


LOWEST = Pitch("G", 0, 3)  # the open G string
HIGHEST = Pitch("B", 0, 7)  # written range on the fingerboard, common practice, no source
