"""Music on a home page: the scale in all it is played in, and a spot's bars in a simpler key."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from django.utils.translation import gettext as _

from practice.engraving.engrave import EngravingFailed, Layout
from practice.engraving.pictures import Picture, picture
from practice.engraving.spec import Spec
from practice.music.errors import MusicError
from practice.music.keys import key_told
from practice.plans.hand import Hand, HandScale
from practice.repertoire.excerpts import easier_bars
from practice.repertoire.models import Spot
from practice.sheets.bowed import chosen_bowings
from practice.sheets.pictures import (
    arpeggio_heading,
    arpeggio_spec,
    bowing_spec,
    how_to_play,
    key_of,
    scale_spec,
)
from studio.people.models import Student

BARS = Layout(staff_mm=6.6, width_mm=None)
SCALE = Layout(staff_mm=6.0, width_mm=88)


@dataclass(frozen=True)
class Tune:
    """Music to play along with; `id` tells it from the others of the page, `words` say whence it
    comes and how it is played."""

    id: str
    heading: str
    words: str
    picture: Picture


def bars_picture(abc: str) -> Picture | None:
    return _drawn(Spec("excerpt", abc=abc), BARS) if abc else None


def easier_tune(item: int, spot: Spot) -> Tune | None:
    """The spot's bars in a simpler key, to be played first."""
    abc = easier_bars(spot.excerpt, spot.easier_key)
    made = bars_picture(abc)
    if made is None:
        return None
    words = (
        _("The same bar, moved to where the fingers lie easier.")
        if spot.first_bar == spot.last_bar
        else _("The same bars, moved to where the fingers lie easier.")
    )
    heading = _("First in {key}.").format(key=key_told(spot.easier_key))
    return Tune(f"{item}-easier", heading, words, made)


def scale_tunes(student: Student, item: int, scale: HandScale) -> Iterator[Tune]:
    """The scale with its fingers, then in its bowings, then the arpeggio: as on the sheet, but
    whole, for playing along."""
    key = key_of(scale)
    if key is None:
        return
    wanted = [("", "", replace(scale_spec(key, scale), narrow=True))]
    for each in chosen_bowings(student, Hand(scale=scale)):
        spec = bowing_spec(key, scale, each.pattern)
        words = " ".join(filter(None, [each.source, how_to_play(each.pattern, key, scale)]))
        heading = _("The bowing: {bowing}").format(bowing=each.pattern.name)
        wanted.append((f"{heading}.", words, spec))
    wanted.append((f"{arpeggio_heading()}.", "", arpeggio_spec(key, scale)))
    for number, (heading, words, spec) in enumerate(wanted):
        made = _drawn(spec, SCALE)
        if made:
            yield Tune(f"{item}-{number}" if number else f"{item}", heading, words, made)


def _drawn(spec: Spec, layout: Layout) -> Picture | None:
    try:
        return picture(spec, layout)
    except (MusicError, EngravingFailed):
        return None
