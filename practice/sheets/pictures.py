"""Which engravings a sheet carries: kept as addresses, drawn while printing."""

from __future__ import annotations

from practice.engraving.engrave import PAPER, SPOT, EngravingFailed, Layout
from practice.engraving.pictures import address, from_address
from practice.engraving.spec import Spec
from practice.music.bowings import Pattern
from practice.music.errors import MusicError
from practice.music.exercise import pour
from practice.music.keys import Key, parse_key
from practice.music.scales import scale as scale_run
from practice.plans.hand import HandScale, HandSpot
from practice.sheets import data as sheet
from practice.sheets.bowed import BY_SLUG, Bowed

BARS_SHOWN = 3
ONE_BAR = Layout(SPOT.staff_mm, 58.0)
ARPEGGIO_BOWING = "slur3"
CLIMB = "Keep climbing to the top, then come down the same way."


def draw(spec: str) -> sheet.Picture:
    """The picture at an address, for `sheet.drawn`. One that cannot be drawn is left empty."""
    try:
        made = from_address(spec)
    except (MusicError, EngravingFailed):
        return sheet.Picture(alt="", spec=spec)
    return sheet.Picture(made.alt, made.svg, made.width_mm, made.height_mm, spec)


def key_of(scale: HandScale) -> Key | None:
    try:
        return parse_key(scale.key)
    except MusicError:
        return None


def scale_staves(scale: HandScale, bowings: tuple[Bowed, ...]) -> tuple[sheet.Stave, ...]:
    """Scale with fingers, each chosen bowing on its first bars, then the arpeggio."""
    key = key_of(scale)
    if key is None:
        return ()
    staves = [_stave(Spec("scale", key, scale.form, scale.octaves))]
    for each in bowings:
        spec = Spec("bowing", key, scale.form, scale.octaves, each.pattern, BARS_SHOWN)
        heading = f"The bowing: {each.pattern.name}"
        staves.append(_stave(spec, heading, each.source, _after(each.pattern, key, scale)))
    slur = BY_SLUG[ARPEGGIO_BOWING]
    arpeggio = Spec("bowed-arpeggio", key, "tonic", scale.octaves, slur)
    staves.append(_stave(arpeggio, f"Arpeggio, {slur.name}"))
    return tuple(stave for stave in staves if stave is not None)


def spot_picture(spot: HandSpot) -> sheet.Picture | None:
    if not spot.excerpt:
        return None
    layout = ONE_BAR if spot.first_bar == spot.last_bar else SPOT
    return _picture(Spec("excerpt", abc=spot.excerpt), layout)


def _stave(spec: Spec, heading: str = "", source: str = "", after: str = "") -> sheet.Stave | None:
    picture = _picture(spec, PAPER)
    return sheet.Stave(picture, heading, source, after) if picture else None


def _picture(spec: Spec, layout: Layout) -> sheet.Picture | None:
    """An address with its text alternative; None where the music does not exist."""
    try:
        return sheet.Picture(alt=spec.staff().alt, spec=address(spec, layout))
    except MusicError:
        return None


def _after(pattern: Pattern, key: Key, scale: HandScale) -> str:
    try:
        exercise = pour(pattern, scale_run(key, scale.form, scale.octaves))
    except MusicError:
        return ""
    turning = exercise.bow_remark if exercise.turned else ""
    return " ".join(filter(None, [CLIMB, exercise.completion, turning]))
