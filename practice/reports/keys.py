"""What the keys of the circle are called, by the studio's names of notes."""

from __future__ import annotations

from practice.figures.key_circle import KeyHeld
from practice.music import naming
from practice.music.keys import MAJOR, MINOR

SIGNS = {-1: "♭", 0: "", 1: "♯"}
ALTER = {sign: alter for alter, sign in SIGNS.items()}


def sign_of(tonic: str, minor: bool) -> str:
    """Of "E♭" or "e♭": as it stands on the circle, where those of minor keys are small."""
    name = naming.tone_sign(tonic[0].upper(), ALTER[tonic[1:]])
    return name.lower() if minor else name


def key_name(held: KeyHeld) -> str:
    """ "E♭ major", German "Es-Dur"."""
    mode = MINOR if held.minor else MAJOR
    return naming.key_with_sign(held.tonic[0].upper(), ALTER[held.tonic[1:]], mode)
