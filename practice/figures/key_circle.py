"""The circle of fifths: twelve major keys, and inside each the relative minor.

Two keys are relatives when they share a signature; a circle of twelve holds fifteen signatures
because six sharps sound as six flats. Common practice.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

PLACES = 12
MAJORS = ("C", "G", "D", "A", "E", "B", "F♯", "D♭", "A♭", "E♭", "B♭", "F")
MINORS = ("a", "e", "b", "f♯", "c♯", "g♯", "e♭", "b♭", "f", "c", "g", "d")


class Known(StrEnum):
    LEARNT = "learnt"
    NOW = "now"
    TO_COME = "to-come"


@dataclass(frozen=True)
class KeyHeld:
    """A key the student has or had in hand: sharps (positive) or flats, and its tonic ("E♭")."""

    signature: int
    minor: bool
    tonic: str
    known: Known
    this_term: bool = False


@dataclass(frozen=True)
class KeyPlace:
    """One place of the circle, from C at the top clockwise; a minor's sign is a small letter."""

    place: int
    minor: bool
    sign: str
    known: Known


def key_circle(held: Iterable[KeyHeld]) -> tuple[KeyPlace, ...]:
    """The twelve majors, then the twelve minors. A key in hand now is shown as that, whatever it
    was before, and is spelled as the student has it."""
    found: dict[tuple[bool, int], KeyHeld] = {}
    for key in held:
        at = (key.minor, key.signature % PLACES)
        if at not in found or key.known == Known.NOW:
            found[at] = key
    places = []
    for minor, usual in ((False, MAJORS), (True, MINORS)):
        for place, sign in enumerate(usual):
            here = found.get((minor, place))
            own = (here.tonic.lower() if minor else here.tonic) if here else sign
            places.append(KeyPlace(place, minor, own, here.known if here else Known.TO_COME))
    return tuple(places)


def in_order(held: Iterable[KeyHeld], known: Known) -> tuple[KeyHeld, ...]:
    """Each key of that kind once, majors first, from flats to sharps."""
    once = {(key.minor, key.signature): key for key in held if key.known == known}
    return tuple(once[at] for at in sorted(once))
