"""The 26 bowings offered to begin with.

Values, slurs and strokes: common practice, most of it from memory; that Kreutzer's second etude
is the usual vehicle and that Ševčík's op. 3 uses the off-string strokes was read. The plain
names are our own, the trade's names stand beside them.
"""

from practice.music.bowings import Pattern, parse_pattern
from practice.music.errors import MusicError
from studio.language import gettext
from studio.language import gettext_noop as _

# slug, our name, trade name, code
_TABLE = (
    ("detache", _("one bow each"), _("détaché"), "2/4 8 8 8 8"),
    ("slur2", _("two in a bow"), _("slurred two"), "2/4 (8 8) (8 8)"),
    ("slur3", _("three in a bow"), _("slurred three (triplets)"), "2/4 (8t 8t 8t) (8t 8t 8t)"),
    ("slur4", _("four in a bow"), _("slurred four"), "4/4 (8 8 8 8) (8 8 8 8)"),
    (
        "slur8",
        _("eight in a bow"),
        _("slurred eight"),
        "4/4 (16 16 16 16 16 16 16 16) (16 16 16 16 16 16 16 16)",
    ),
    (
        "slur16",
        _("sixteen in a bow"),
        _("slurred sixteen"),
        "4/4 (16 16 16 16 16 16 16 16 16 16 16 16 16 16 16 16)",
    ),
    ("2s2d", _("two together, two apart"), _("two slurred, two separate"), "2/4 (8 8) 8 8"),
    ("2d2s", _("two apart, two together"), _("two separate, two slurred"), "2/4 8 8 (8 8)"),
    ("3s1d", _("three together, one alone"), _("three slurred, one separate"), "2/4 (8 8 8) 8"),
    ("1d3s", _("one alone, three together"), _("one separate, three slurred"), "2/4 8 (8 8 8)"),
    (
        "1d2s1d",
        _("one, two together, one"),
        _("one separate, two slurred, one separate"),
        "2/4 8 (8 8) 8",
    ),
    (
        "2s1d-triplet",
        _("two and one, in threes"),
        _("two slurred, one separate (3)"),
        "2/4 (8t 8t) 8t (8t 8t) 8t",
    ),
    (
        "hooked-dotted",
        _("long and short in one bow"),
        _("hooked dotted rhythm"),
        "2/4 (8. 16s) (8. 16s)",
    ),
    ("martele", _("bite and stop"), _("martelé"), "2/4 8w 8w 8w 8w"),
    (
        "staccato-slur",
        _("four bites in a bow"),
        _("slurred staccato"),
        "4/4 (8s 8s 8s 8s) (8s 8s 8s 8s)",
    ),
    ("portato", _("four pulses in a bow"), _("portato (louré)"), "4/4 (4n 4n 4n 4n)"),
    ("spiccato", _("bouncing"), _("spiccato"), "2/4 8s 8s 8s 8s off"),
    ("sautille", _("fast bouncing"), _("sautillé"), "2/4 16s 16s 16s 16s 16s 16s 16s 16s off"),
    ("colle", _("pinch and lift"), _("collé"), "4/4 4l r4 4l r4 off"),
    (
        "ricochet4",
        _("thrown, four rebounds"),
        _("ricochet (jeté)"),
        "2/4 (16s 16s 16s 16s) (16s 16s 16s 16s) off",
    ),
    ("tremolo", _("each note four times"), _("measured tremolo"), "2/4 16 16 16 16 x4"),
    ("long-short", _("long, short"), _("dotted rhythm, separate"), "2/4 8. 16 8. 16"),
    ("short-long", _("short, long"), _("reversed dotted rhythm"), "2/4 16 8. 16 8."),
    (
        "two16-one8",
        _("quick, quick, long"),
        _("two sixteenths and an eighth"),
        "2/4 16 16 8 16 16 8",
    ),
    (
        "one8-two16",
        _("long, quick, quick"),
        _("an eighth and two sixteenths"),
        "2/4 8 16 16 8 16 16",
    ),
    ("triplets", _("threes, one bow each"), _("separate triplets"), "2/4 8t 8t 8t 8t 8t 8t"),
)

BOWINGS: tuple[Pattern, ...] = tuple(
    parse_pattern(code, name=name, trade_name=trade_name, slug=slug)
    for slug, name, trade_name, code in _TABLE
)


def bowing(slug: str) -> Pattern:
    """One of the 26 by its slug. Raises MusicError naming the value."""
    for pattern in BOWINGS:
        if pattern.slug == slug:
            return pattern
    raise MusicError(gettext("“{slug}” is not one of the bowings.").format(slug=slug))


def find_bowing(text: str) -> Pattern:
    """A bowing by slug, or any pattern by its code or address form."""
    return bowing(text) if any(p.slug == text for p in BOWINGS) else parse_pattern(text)
