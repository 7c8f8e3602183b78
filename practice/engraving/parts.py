"""Which part of a score is the violin's, and what to say when none is."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from practice.music.abc_voices import others_left_out, sounds_apart
from practice.music.errors import MusicError

# "Violin" in the languages of common editions.
_VIOLIN = (
    "violin",
    "violon",
    "geige",
    "violín",
    "viool",
    "fiol",
    "skrzyp",
    "housle",
    "скрип",
    "vln",
)


class WrongPart(MusicError):
    """A score without a part a violin can read."""


@dataclass(frozen=True, slots=True)
class Part:
    """`clef` is G, F or C; `transposed` is how many semitones it sounds above its writing."""

    name: str
    staves: int
    clef: str
    transposed: int
    notes: int


def choose_part(parts: Sequence[Part]) -> tuple[int, tuple[str, ...]]:
    """Index of the part to read, and a remark on those left out. Raises WrongPart."""
    if not parts or not any(part.notes for part in parts):
        raise WrongPart(_("This file holds no notes."))
    fitting = [
        index
        for index, part in enumerate(parts)
        if part.staves == 1 and part.clef == "G" and not part.transposed and part.notes
    ]
    if not fitting:
        raise WrongPart(_why_not(parts))
    named = [index for index in fitting if _is_violin(parts[index].name)]
    chosen = (named or fitting)[0]
    others = [part.name or _("without a name") for i, part in enumerate(parts) if i != chosen]
    if not others:
        return chosen, ()
    name = parts[chosen].name or _("the first treble part")
    return chosen, (others_left_out(name, others),)


def _is_violin(name: str) -> bool:
    lowered = name.lower()
    return any(word in lowered for word in _VIOLIN)


def _why_not(parts: Sequence[Part]) -> str:
    if any(p.staves > 1 for p in parts):
        return _(
            "This score is for a keyboard (two staves a part). Choose a file of the violin part."
        )
    moved = next((p for p in parts if p.transposed), None)
    if moved:
        how = sounds_apart(moved.transposed)
        words = _("{name} is a transposing part: {how} Choose a part at sounding pitch.")
        return words.format(name=moved.name or _("This part"), how=how)
    words = _("{name} is not written in the treble clef, so it is no violin part.")
    return words.format(name=parts[0].name or _("This part"))
