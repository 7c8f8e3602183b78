"""The 26 bowings offered to begin with.

Values, slurs and strokes: common practice, most of it from memory; that Kreutzer's second etude
is the usual vehicle and that Ševčík's op. 3 uses the off-string strokes was read. The plain
names are our own, the trade's names stand beside them.
"""

from practice.music.bowings import Pattern, parse_pattern
from practice.music.errors import MusicError

_FOUR = "(16 16 16 16)"
# slug | our name | trade name | code
_TABLE = f"""
detache | one bow each | détaché | 2/4 8 8 8 8
slur2 | two in a bow | slurred two | 2/4 (8 8) (8 8)
slur3 | three in a bow | slurred three (triplets) | 2/4 (8t 8t 8t) (8t 8t 8t)
slur4 | four in a bow | slurred four | 4/4 (8 8 8 8) (8 8 8 8)
slur8 | eight in a bow | slurred eight | 4/4 (16 16 16 16 16 16 16 16) (16 16 16 16 16 16 16 16)
slur16 | sixteen in a bow | slurred sixteen | 4/4 (16 16 16 16 16 16 16 16 16 16 16 16 16 16 16 16)
2s2d | two together, two apart | two slurred, two separate | 2/4 (8 8) 8 8
2d2s | two apart, two together | two separate, two slurred | 2/4 8 8 (8 8)
3s1d | three together, one alone | three slurred, one separate | 2/4 (8 8 8) 8
1d3s | one alone, three together | one separate, three slurred | 2/4 8 (8 8 8)
1d2s1d | one, two together, one | one separate, two slurred, one separate | 2/4 8 (8 8) 8
2s1d-triplet | two and one, in threes | two slurred, one separate (3) | 2/4 (8t 8t) 8t (8t 8t) 8t
hooked-dotted | long and short in one bow | hooked dotted rhythm | 2/4 (8. 16s) (8. 16s)
martele | bite and stop | martelé | 2/4 8w 8w 8w 8w
staccato-slur | four bites in a bow | slurred staccato | 4/4 (8s 8s 8s 8s) (8s 8s 8s 8s)
portato | four pulses in a bow | portato (louré) | 4/4 (4n 4n 4n 4n)
spiccato | bouncing | spiccato | 2/4 8s 8s 8s 8s off
sautille | fast bouncing | sautillé | 2/4 16s 16s 16s 16s 16s 16s 16s 16s off
colle | pinch and lift | collé | 4/4 4l r4 4l r4 off
ricochet4 | thrown, four rebounds | ricochet (jeté) | 2/4 {_FOUR} {_FOUR} off
tremolo | each note four times | measured tremolo | 2/4 16 16 16 16 x4
long-short | long, short | dotted rhythm, separate | 2/4 8. 16 8. 16
short-long | short, long | reversed dotted rhythm | 2/4 16 8. 16 8.
two16-one8 | quick, quick, long | two sixteenths and an eighth | 2/4 16 16 8 16 16 8
one8-two16 | long, quick, quick | an eighth and two sixteenths | 2/4 8 16 16 8 16 16
triplets | threes, one bow each | separate triplets | 2/4 8t 8t 8t 8t 8t 8t
""".replace(_FOUR, _FOUR.replace("16", "16s"))


def _read(row: str) -> Pattern:
    slug, name, trade_name, code = (cell.strip() for cell in row.split("|"))
    return parse_pattern(code, name=name, trade_name=trade_name, slug=slug)


BOWINGS: tuple[Pattern, ...] = tuple(_read(row) for row in _TABLE.strip().splitlines())

# The usual first bowing of an arpeggio; common practice, no source.
ARPEGGIO_BOWING = parse_pattern("3/8 (8 8 8)", name="three in a bow")


def bowing(slug: str) -> Pattern:
    """One of the 26 by its slug. Raises MusicError naming the value."""
    for pattern in BOWINGS:
        if pattern.slug == slug:
            return pattern
    raise MusicError(f"“{slug}” is not one of the bowings.")


def find_bowing(text: str) -> Pattern:
    """A bowing by slug, or any pattern by its code or address form."""
    return bowing(text) if any(p.slug == text for p in BOWINGS) else parse_pattern(text)
