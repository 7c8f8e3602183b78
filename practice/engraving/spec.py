"""What an engraving shows, as an address: the same words for pages, paper and the take-home file.

Paths (the view adds `/engraved/` and `.svg`):
    scale/G-major/major/2                     heads, fingers, string names
    arpeggio/G-major/tonic/2                  the same for an arpeggio
    bowing/G-major/major/2/2-4_(8_8)_8_8      a bowing; ?bars=3 shows the first three
    bowed-arpeggio/G-major/tonic/2/slur3      an arpeggio in a bowing
    card/G-major/major/1/slur2                one bowing as a small picture
    excerpt/<ABC in URL-safe base64>          bars of a piece
A pattern is a slug of the list or a pattern code. Query: `over` notes over the top of a scale,
`top` highest position, `open` "avoid", `string` one string, `f` the teacher's fingers
("3.4-7.0D": fourth finger on note 3 of the scale, counted from 0), `down=1` the way down too,
`narrow=1` broken after octaves where the line is full, and the layout: `staff` and `width` in mm
(`width=natural`), `ink` "light", "dark", "print" or "current". No personal data.
"""

import base64
import binascii
import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from urllib.parse import quote, urlencode

from django.utils.translation import gettext as _
from django.utils.translation import pgettext

from practice.engraving.engrave import INK, INK_DARK, PAPER, Layout
from practice.music.abc_bar import MOST_CHARACTERS, read_abc
from practice.music.bowing_list import find_bowing
from practice.music.bowings import Pattern
from practice.music.errors import MusicError
from practice.music.how import PLAIN, How
from practice.music.keys import Key, parse_key
from practice.music.own_fingers import fingers_code
from practice.music.staves import (
    Staff,
    arpeggio_staff,
    bowed_arpeggio_staff,
    bowing_card,
    bowing_staff,
    excerpt_staff,
    scale_staff,
)
from practice.music.violin import HIGHEST_POSITION

INKS = {"light": INK, "dark": INK_DARK, "print": "#000000", "current": "currentColor"}
_STAFF_MM = (3.0, 20.0)
_WIDTH_MM = (40.0, 400.0)
_C_MAJOR = Key("C", "major")


class BadSpec(MusicError):
    """An address that names no engraving."""


@dataclass(frozen=True, slots=True)
class Spec:
    """`kind` as in the module's list; `form` is a scale form or an arpeggio kind. `whole` shows
    a scale's way down too, `narrow` breaks it after octaves where the line is full."""

    kind: str
    key: Key = _C_MAJOR
    form: str = "major"
    octaves: int = 2
    pattern: Pattern | None = None
    bars: int | None = None
    abc: str = ""
    how: How = PLAIN
    whole: bool = False
    narrow: bool = False

    @property
    def path(self) -> str:
        if self.kind == "excerpt":
            code = base64.urlsafe_b64encode(self.abc.encode()).decode().rstrip("=")
            return f"excerpt/{code}"
        parts = [self.kind, self.key.slug, self.form, str(self.octaves)]
        if self.pattern:
            parts.append(self.pattern.slug or self.pattern.path)
        return "/".join(parts)

    @property
    def query(self) -> dict[str, str]:
        how, found = self.how, {}
        if self.bars:
            found["bars"] = str(self.bars)
        if how.over:
            found["over"] = str(how.over)
        if how.highest != PLAIN.highest:
            found["top"] = str(how.highest)
        if how.open_strings != PLAIN.open_strings:
            found["open"] = how.open_strings
        if how.string:
            found["string"] = how.string
        if how.fingers:
            found["f"] = how.fingers
        if self.whole:
            found["down"] = "1"
        if self.narrow:
            found["narrow"] = "1"
        return found

    def staff(self) -> Staff:
        """The music and its text alternative. Raises MusicError."""
        how, rules = self.how, self.how.rules
        if self.kind == "excerpt":
            return excerpt_staff(read_abc(self.abc))
        if self.kind == "scale":
            return scale_staff(
                self.key, self.form, self.octaves, how=how, whole=self.whole, narrow=self.narrow
            )
        if self.kind == "arpeggio":
            return arpeggio_staff(self.key, self.form, self.octaves, rules=rules)
        if self.pattern is None:
            raise BadSpec(_("“{text}” names no bowing.").format(text=self.path))
        if self.kind == "bowed-arpeggio":
            return bowed_arpeggio_staff(
                self.pattern, self.key, self.form, self.octaves, rules=rules
            )
        if self.kind == "card":
            return bowing_card(self.pattern, self.key, self.form, self.octaves)
        return bowing_staff(self.pattern, self.key, self.form, self.octaves, self.bars, how=how)


def address(spec: Spec, layout: Layout = PAPER) -> str:
    """The part of the address after `/engraved/`, query included: read by `parse_address`."""
    query = spec.query | _layout_query(layout)
    path = quote(spec.path, safe="/()=:")
    return f"{path}.svg" + (f"?{urlencode(query)}" if query else "")


def parse_address(path: str, query: Mapping[str, str]) -> tuple[Spec, Layout]:
    """Read a path (without `.svg`) and its query. Raises MusicError naming what is wrong."""
    return parse_spec(path, query), _parse_layout(query)


def parse_spec(path: str, query: Mapping[str, str]) -> Spec:
    """Read what is shown. Raises MusicError."""
    kind, _slash, rest = path.partition("/")
    if kind == "excerpt":
        return Spec("excerpt", abc=_decoded(rest))
    counts = {"scale": 3, "arpeggio": 3, "bowing": 4, "bowed-arpeggio": 4, "card": 4}
    parts = rest.split("/")
    if len(parts) != counts.get(kind, 0):
        raise BadSpec(_("“{text}” names no engraving.").format(text=path))
    octaves = _number(parts[2], pgettext("a number of", "octaves"), 1, 3)
    spec = Spec(kind, parse_key(parts[0]), parts[1], octaves, how=_how(query))
    if len(parts) == 4:
        spec = replace(spec, pattern=find_bowing(parts[3]))
    bars = (
        _number(query["bars"], pgettext("a number of", "bars"), 1, 64) if "bars" in query else None
    )
    return replace(
        spec, bars=bars, whole=query.get("down") == "1", narrow=query.get("narrow") == "1"
    )


def _decoded(text: str) -> str:
    try:
        raw = base64.b64decode(text + "=" * (-len(text) % 4), altchars=b"-_", validate=True)
        abc = raw.decode()
    except (binascii.Error, UnicodeDecodeError, ValueError):
        raise BadSpec(_("These bars cannot be read from their address.")) from None
    if len(abc) > MOST_CHARACTERS:
        words = _("These bars are longer than {most} characters.")
        raise BadSpec(words.format(most=MOST_CHARACTERS))
    return abc


def _number(text: str, name: str, least: int, most: int) -> int:
    if not re.fullmatch(r"[0-9]{1,4}", text) or not least <= int(text) <= most:
        words = _("“{text}” is not a number of {name} from {least} to {most}.")
        raise BadSpec(words.format(text=text[:20], name=name, least=least, most=most))
    return int(text)


def _how(query: Mapping[str, str]) -> How:
    how = How(fingers=query.get("f", ""))
    if how.fingers:
        how = replace(how, fingers=fingers_code(how.own))
    if "over" in query:
        how = replace(
            how, over=_number(query["over"], pgettext("a number of", "notes over the top"), 1, 3)
        )
    if "top" in query:
        how = replace(
            how,
            highest=_number(
                query["top"], pgettext("a number of", "positions"), 1, HIGHEST_POSITION
            ),
        )
    if query.get("open") == "avoid":
        how = replace(how, open_strings="avoid")
    if query.get("string", "") in ("G", "D", "A", "E"):
        how = replace(how, string=query["string"])
    return how


def _layout_query(layout: Layout) -> dict[str, str]:
    found = {}
    if layout.staff_mm != PAPER.staff_mm:
        found["staff"] = f"{layout.staff_mm:g}"
    if layout.width_mm is None:
        found["width"] = "natural"
    elif layout.width_mm != PAPER.width_mm:
        found["width"] = f"{layout.width_mm:g}"
    ink = next((name for name, colour in INKS.items() if colour == layout.ink), "light")
    if ink != "light":
        found["ink"] = ink
    return found


def _parse_layout(query: Mapping[str, str]) -> Layout:
    width = query.get("width", "")
    ink = query.get("ink", "light")
    if ink not in INKS:
        words = _("“{text}” is no ink: choose {choice}.")
        raise BadSpec(words.format(text=ink, choice=", ".join(INKS)))
    return Layout(
        _length(query.get("staff", ""), PAPER.staff_mm, _STAFF_MM),
        None if width == "natural" else _length(width, PAPER.width_mm or 0.0, _WIDTH_MM),
        ink=INKS[ink],
    )


def _length(text: str, usual: float, limits: tuple[float, float]) -> float:
    if not text:
        return usual
    if not re.fullmatch(r"\d{1,3}(\.\d)?", text) or not limits[0] <= float(text) <= limits[1]:
        words = _("“{text}” mm: choose {least} to {most}.")
        raise BadSpec(words.format(text=text, least=f"{limits[0]:g}", most=f"{limits[1]:g}"))
    return float(text)
