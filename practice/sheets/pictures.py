"""Which engravings a sheet carries: kept as addresses, drawn while printing."""

from __future__ import annotations

from django.utils.translation import gettext as _

from practice.engraving.engrave import PAPER, SPOT, EngravingFailed, Layout
from practice.engraving.pictures import address, from_address
from practice.engraving.spec import Spec
from practice.music.bowings import Pattern
from practice.music.errors import MusicError
from practice.music.exercise import Exercise, pour
from practice.music.how import How, run_of
from practice.music.keys import Key, parse_key
from practice.music.naming import tone, tonic
from practice.music.turning import at_the_top, uneven_words
from practice.plans.hand import HandScale, HandSpot
from practice.repertoire.excerpts import easier_bars
from practice.sheets import data as sheet
from practice.sheets.bowed import BY_SLUG, Bowed
from studio.language.cached import cached_as_spoken

BARS_SHOWN = 3
ONE_BAR = Layout(SPOT.staff_mm, 58.0)
ARPEGGIO_BOWING = "slur3"


def arpeggio_heading() -> str:
    return _("Arpeggio, {bowing}").format(bowing=BY_SLUG[ARPEGGIO_BOWING].name)


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
    staves = [_stave(scale_spec(key, scale))]
    for each in bowings:
        spec = bowing_spec(key, scale, each.pattern, BARS_SHOWN)
        heading = _("The bowing: {bowing}").format(bowing=each.pattern.name)
        climb = _("Keep climbing to the top, then come down the same way.")
        after = f"{climb} {how_to_play(each.pattern, key, scale)}".strip()
        staves.append(_stave(spec, heading, each.source, after))
    staves.append(_stave(arpeggio_spec(key, scale), arpeggio_heading()))
    return tuple(stave for stave in staves if stave is not None)


def scale_spec(key: Key, scale: HandScale) -> Spec:
    return Spec("scale", key, scale.form, scale.octaves, how=scale.how)


def bowing_spec(key: Key, scale: HandScale, pattern: Pattern, bars: int | None = None) -> Spec:
    """The scale in a bowing; the first `bars`, or all of it."""
    return Spec("bowing", key, scale.form, scale.octaves, pattern, bars, how=scale.how)


def arpeggio_spec(key: Key, scale: HandScale) -> Spec:
    slur = BY_SLUG[ARPEGGIO_BOWING]
    how = scale.how.for_arpeggio
    return Spec("bowed-arpeggio", key, "tonic", scale.octaves, slur, how=how)


def spot_picture(spot: HandSpot) -> sheet.Picture | None:
    if not spot.excerpt:
        return None
    layout = ONE_BAR if spot.first_bar == spot.last_bar else SPOT
    return _picture(Spec("excerpt", abc=spot.excerpt), layout)


def easier_of(spot: HandSpot, piece: str) -> sheet.Easier | None:
    """The spot's second exercise: its bars in a simpler key, and where they come from."""
    abc = easier_bars(spot.excerpt, spot.easier_key)
    layout = ONE_BAR if spot.first_bar == spot.last_bar else SPOT
    picture = _picture(Spec("excerpt", abc=abc), layout) if abc else None
    if picture is None:
        return None
    said = (
        _("They are {bars} of your {piece}, moved to where the fingers lie easier.")
        if spot.several
        else _("It is {bars} of your {piece}, moved to where the fingers lie easier.")
    )
    key = parse_key(spot.easier_key)
    text = said.format(bars=spot.label, piece=piece)
    return sheet.Easier(key.told, text, picture, tonic(tone(key.step, key.alter), key.mode))


def _stave(spec: Spec, heading: str = "", source: str = "", after: str = "") -> sheet.Stave | None:
    picture = _picture(spec, PAPER)
    return sheet.Stave(picture, heading, source, after) if picture else None


def _picture(spec: Spec, layout: Layout) -> sheet.Picture | None:
    """An address with its text alternative; None where the music does not exist."""
    try:
        return sheet.Picture(alt=spec.staff().alt, spec=address(spec, layout))
    except MusicError:
        return None


def bowing_words(pattern: Pattern, key: Key, scale: HandScale) -> str:
    """For the teacher: where bowings begin, the bow at the top, and why the scale grows longer."""
    exercise = _poured(pattern, key, scale)
    if exercise is None:
        return ""
    said = [exercise.bow_remark, at_the_top(exercise).words, uneven_words(exercise)]
    return " ".join(filter(None, said))


def how_to_play(pattern: Pattern, key: Key, scale: HandScale) -> str:
    """For the student: how the scale comes out even, and where the bow turns round."""
    exercise = _poured(pattern, key, scale)
    if exercise is None:
        return ""
    turning = exercise.bow_remark if exercise.turned else ""
    return " ".join(filter(None, [exercise.completion, at_the_top(exercise).told, turning]))


def _poured(pattern: Pattern, key: Key, scale: HandScale) -> Exercise | None:
    return _poured_into(pattern, key, scale.form, scale.octaves, scale.how)


@cached_as_spoken(maxsize=512)
def _poured_into(pattern: Pattern, key: Key, form: str, octaves: int, how: How) -> Exercise | None:
    try:
        run = run_of(key, form, octaves, how)
        return pour(pattern, run, rules=how.rules, fixed=how.own)
    except MusicError:
        return None
