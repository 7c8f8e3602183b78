"""A scale as its pages show it: engraved with fingers, and each shift in a sentence."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from practice.engraving.engrave import EngravingFailed, Layout
from practice.engraving.pictures import Picture, picture
from practice.engraving.spec import Spec
from practice.music.errors import MusicError
from practice.music.fingering import Fingering
from practice.music.how import How, fingered, run_of
from practice.music.keys import parse_key
from practice.music.pitch import Pitch
from practice.music.shifts import explain_extensions, explain_shifts
from practice.music.violin import position_name

WIDE = Layout(staff_mm=7.4, width_mm=170)
NOTE_MM, CLEF_MM = 5.6, 25


@dataclass(frozen=True)
class ShownScale:
    """`shifts` and `reaches` are sentences, in the order of the notes."""

    picture: Picture
    shifts: tuple[str, ...]
    reaches: tuple[str, ...]


def shown_scale(
    key: str, form: str, octaves: int, how: How, *, whole: bool = False
) -> ShownScale | None:
    """None where the violin cannot play it, or it cannot be drawn."""
    try:
        parsed = parse_key(key)
        found = fingered(parsed, form, octaves, how)
        pitches = run_of(parsed, form, octaves, how).there_and_back
        spec = Spec("scale", parsed, form, octaves, how=how, whole=whole)
        # So wide that the way down begins a new line.
        line = Layout(WIDE.staff_mm, CLEF_MM + NOTE_MM * (len(pitches) + 1) / 2)
        made = picture(spec, line if whole else WIDE)
        return ShownScale(made, _shifts(pitches, found), explain_extensions(pitches, found))
    except (MusicError, EngravingFailed):
        return None


def _shifts(pitches: Sequence[Pitch], found: Fingering) -> tuple[str, ...]:
    explained = explain_shifts(pitches, found)
    if explained:
        return tuple(shift.reason for shift in explained)
    stopped = {place.position for place in found.places if place.finger}
    sentence = _("The hand stays in {position}.")
    return tuple(sentence.format(position=position_name(each)) for each in stopped)
