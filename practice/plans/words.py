"""What items are called on sheets, home pages and the Bench: a name, and which one it is."""

from __future__ import annotations

from practice.planning.types import Item, Part
from practice.plans.hand import Hand
from practice.repertoire.models import Idea, ScaleInHand

NAMES = {
    Part.STRETCH: "Stretch",
    Part.WARM_UP: "Warm-up",
    Part.RE_WARM_UP: "Warm up again",
    Part.SCALE: "Scale + arpeggio",
    Part.ETUDE: "Etude",
    Part.SPOT: "Spots",
    Part.RUN_THROUGH: "Run-through",
    Part.FREE: "Also",
    Part.FAVOURITE: "Favourite",
    Part.EXPLORE: "Explore",
}
# File names in static/marks.
MARKS = {
    Part.STRETCH: "stretch",
    Part.WARM_UP: "warm-up",
    Part.RE_WARM_UP: "warm-up",
    Part.SCALE: "scale",
    Part.ETUDE: "etude",
    Part.SPOT: "spots",
    Part.RUN_THROUGH: "run-through",
    Part.FREE: "exercise",
    Part.FAVOURITE: "favourite",
    Part.EXPLORE: "explore",
}
HINTS = {
    Part.STRETCH: "arms, neck, thumbs",
    Part.WARM_UP: "open strings, slides",
    Part.RE_WARM_UP: "four long bows",
}
OCTAVES = {1: "one octave", 2: "two octaves", 3: "three octaves"}


def item_words(item: Item, hand: Hand, idea: Idea | None) -> tuple[str, str]:
    """Title and detail of one item, as a home page shows it on its own."""
    title, part = NAMES[item.part], item.part
    if part in HINTS:
        return title, HINTS[part]
    if part is Part.SCALE and hand.scale:
        return title, scale_words(hand)
    if part is Part.ETUDE and hand.etude:
        said = [hand.etude.title, hand.etude.lines, hand.etude.cue]
        return title, ", ".join(filter(None, said))
    if part is Part.SPOT:
        return _spot_words(item, hand)
    if part is Part.EXPLORE and idea:
        return title, f"{idea.title}. {idea.text}"
    return title, item.title


def scale_words(hand: Hand) -> str:
    """ "G major, two octaves"; a minor key says how it goes up, then string and top if any."""
    scale = hand.scale
    if scale is None:
        return ""
    form = ScaleInHand.Form(scale.form)
    said = [scale.key, "" if form == ScaleInHand.Form.MAJOR else form.value]
    return ", ".join([" ".join(filter(None, said)), OCTAVES[scale.octaves], *scale.how.words])


def _spot_words(item: Item, hand: Hand) -> tuple[str, str]:
    spot = hand.spot(int(item.key.partition(":")[2]))
    if spot is None:
        return NAMES[Part.SPOT], item.title
    piece = hand.piece_of(spot)
    return f"Spot, {spot.label}", f"{piece.title}: {spot.what}"
