"""The violin under the hand: four strings, positions, and where each finger can fall.

A finger belongs to a letter: in position p the first finger plays the letter p steps above the
open string, the second the next letter, and so on (the handbooks' position tables). Half
position is 0. How high or low the finger then stands is measured against the hand's frame, the
semitone of the first finger, from which the fourth naturally reaches a fourth (5 semitones).
"""

from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

from practice.music.naming import string_name
from practice.music.pitch import STEPS, Pitch, parse_pitch
from studio.language import gettext as _
from studio.language import gettext_noop

STRINGS = "GDAE"
OPEN: tuple[Pitch, ...] = tuple(map(parse_pitch, ("G3", "D4", "A4", "E5")))
HIGHEST_POSITION = 15
BACK, STRETCHED = "back", "stretched"
_POSITIONS = (
    gettext_noop("half position"),
    gettext_noop("first position"),
    gettext_noop("second position"),
    gettext_noop("third position"),
    gettext_noop("fourth position"),
    gettext_noop("fifth position"),
    gettext_noop("sixth position"),
    gettext_noop("seventh position"),
    gettext_noop("eighth position"),
    gettext_noop("ninth position"),
    gettext_noop("tenth position"),
    gettext_noop("eleventh position"),
    gettext_noop("twelfth position"),
    gettext_noop("thirteenth position"),
    gettext_noop("fourteenth position"),
    gettext_noop("fifteenth position"),
)
# Semitones of the first finger above the open string, positions half to seventh, then again an
# octave higher. Halves stand where major and minor keys differ.
_FRAMES = (1.0, 2.0, 3.5, 5.0, 7.0, 8.5, 10.5, 12.0)


@dataclass(frozen=True, slots=True)
class Place:
    """Where a note is played: string letter, position (0 = half), finger (0 = open).

    `reach` is "", BACK (a first finger) or STRETCHED (a fourth).
    """

    string: str
    position: int
    finger: int
    reach: str = ""

    @property
    def extension(self) -> str:
        """The reach in words: "1st finger back", "4th finger stretched"."""
        words = {BACK: _("1st finger back"), STRETCHED: _("4th finger stretched")}
        return words.get(self.reach, "")

    @property
    def text(self) -> str:
        if self.finger == 0:
            return _("open {string} string").format(string=string_name(self.string))
        words = _("{string} string, {position}, finger {finger}")
        where = words.format(
            string=string_name(self.string),
            position=position_name(self.position),
            finger=self.finger,
        )
        return f"{where} ({self.extension})" if self.reach else where


class Hand(NamedTuple):
    """A place together with the frame of the hand, and what it costs by itself."""

    string: int
    position: int
    frame: int
    finger: int
    offset: int  # semitones of the finger above the frame; 0 for an open string
    reach: str
    reach_cost: float


def position_name(position: int) -> str:
    """ "half position", "third position"."""
    return _(_POSITIONS[position])


def frame_of(position: int) -> float:
    """Usual semitone of the first finger above the open string."""
    octave, rest = divmod(position - 1, 7) if position else (0, -1)
    return _FRAMES[rest + 1] + 12 * octave


# Finger -> semitones above the frame -> (reach, cost). Low and high second finger are equals.
_REACH: dict[int, dict[int, tuple[str, float]]] = {
    1: {0: ("", 0.0), -1: (BACK, 0.6), 1: ("", 1.2)},
    2: {1: ("", 0.0), 2: ("", 0.0)},
    3: {3: ("", 0.0), 4: ("", 0.2), 2: ("", 0.9)},
    4: {5: ("", 0.0), 4: ("", 0.2), 6: (STRETCHED, 1.2)},
}
_RESPELLED = 1.0  # the finger of the neighbouring letter, for notes like E sharp or F double sharp


@lru_cache(maxsize=2048)
def hands(pitch: Pitch, highest: int = HIGHEST_POSITION) -> tuple[Hand, ...]:
    """Every sensible stopped place for a note, in positions up to `highest`."""
    found: dict[tuple[int, int, int, int], Hand] = {}
    for string, opened in enumerate(OPEN):
        semitones = pitch.midi - opened.midi
        if semitones <= 0:
            continue
        for letter, penalty in _letters(pitch):
            for finger in (1, 2, 3, 4):
                position = letter - opened.diatonic - finger + 1
                if 0 <= position <= min(highest, HIGHEST_POSITION):
                    for hand in _frames(string, position, finger, semitones, penalty):
                        place = hand[:4]
                        if place not in found or hand.reach_cost < found[place].reach_cost:
                            found[place] = hand
    return tuple(found.values())


def _letters(pitch: Pitch) -> list[tuple[int, float]]:
    """Letters (diatonic numbers) the hand may think in, with their penalty."""
    letters = [(pitch.diatonic, 0.0)]
    for shift in (-1, 1):
        octave, step = divmod(pitch.diatonic + shift, 7)
        natural = Pitch(STEPS[step], 0, octave).midi
        if abs(pitch.midi - natural) <= 1:
            letters.append((pitch.diatonic + shift, _RESPELLED))
    return letters


def _frames(string: int, position: int, finger: int, semitones: int, penalty: float) -> list[Hand]:
    usual = frame_of(position)
    lean = 1.0 if position <= 1 else 0.4  # near the scroll the hand keeps its place
    result = []
    for offset, (reach, cost) in _REACH[finger].items():
        frame = semitones - offset
        away = abs(frame - usual)
        if frame < 1 or away > 1 or (position <= 1 and away > position):
            continue
        # F natural on the E string: the first finger drawn back is everyday in first position.
        if position == 1 and reach == BACK:
            reach, cost = "", 0.3
        result.append(
            Hand(string, position, frame, finger, offset, reach, cost + penalty + lean * away)
        )
    return result


def open_string(pitch: Pitch) -> int | None:
    """Index of the string that sounds this note open, however it is spelled."""
    for string, opened in enumerate(OPEN):
        if opened.midi == pitch.midi:
            return string
    return None
