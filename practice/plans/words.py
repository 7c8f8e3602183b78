"""What items are called on sheets, home pages and the Bench: a name, and which one it is."""

from __future__ import annotations

from django.utils.translation import gettext as _
from django.utils.translation import pgettext

from practice.music.describe import octaves_text
from practice.music.keys import key_told
from practice.music.scales import form_told
from practice.planning.types import Item, Part
from practice.plans.hand import Hand
from practice.repertoire.models import Idea, ScaleInHand

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


def part_name(part: Part) -> str:
    return {
        Part.STRETCH: _("Stretch"),
        Part.WARM_UP: _("Warm-up"),
        Part.RE_WARM_UP: _("Warm up again"),
        Part.SCALE: _("Scale + arpeggio"),
        Part.ETUDE: _("Etude"),
        Part.SPOT: _("Spots"),
        Part.RUN_THROUGH: _("Run-through"),
        Part.FREE: pgettext("an item of the teacher’s own", "Also"),
        Part.FAVOURITE: _("Favourite"),
        Part.EXPLORE: _("Explore"),
    }[part]


def hint_of(part: Part) -> str:
    """What the parts that are the same for everybody consist of; nothing of the others."""
    return {
        Part.STRETCH: _("arms, neck, thumbs"),
        Part.WARM_UP: _("open strings, slides"),
        Part.RE_WARM_UP: _("four long bows"),
    }.get(part, "")


def item_words(item: Item, hand: Hand, idea: Idea | None) -> tuple[str, str]:
    """Title and detail of one item, as a home page shows it on its own."""
    title, part = part_name(item.part), item.part
    if hint := hint_of(part):
        return title, hint
    if part is Part.SCALE and hand.scale:
        return title, scale_words(hand)
    if part is Part.ETUDE and hand.etude:
        said = [hand.etude.title, hand.etude.lines, hand.etude.cue]
        return title, ", ".join(filter(None, said))
    if part is Part.SPOT:
        return _spot_words(item, hand)
    if part is Part.EXPLORE and idea:
        return title, f"{idea.told_title}. {idea.told_text}"
    return title, item.title


def scale_words(hand: Hand) -> str:
    """ "G major, two octaves"; a minor key says how it goes up, then string and top if any."""
    scale = hand.scale
    if scale is None:
        return ""
    key, form = key_told(scale.key), ScaleInHand.Form(scale.form)
    if form != ScaleInHand.Form.MAJOR:
        key = pgettext("a key and the form of its scale", "{key} {form}").format(
            key=key, form=form_told(form)
        )
    return ", ".join([key, octaves_text(scale.octaves), *scale.how.words])


def _spot_words(item: Item, hand: Hand) -> tuple[str, str]:
    spot = hand.spot(int(item.key.partition(":")[2]))
    if spot is None:
        return part_name(Part.SPOT), item.title
    piece = hand.piece_of(spot)
    return _("Spot, {bars}").format(bars=spot.label), f"{piece.title}: {spot.what}"
