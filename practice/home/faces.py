"""The program's faces inside one file: only the letters it uses, as data addresses."""

from __future__ import annotations

import base64
import io
import re
from functools import lru_cache
from pathlib import Path

from django.conf import settings

# Kerning and ligatures, and how letters of Arabic join and carry their signs.
FEATURES = ("kern", "liga", "init", "medi", "fina", "rlig", "ccmp", "locl", "mark", "mkmk")
_FACE = re.compile(r"@font-face\{[^}]*\}")
_SOURCE = re.compile(r"url\(\.\./fonts/([\w-]+\.woff2)\)")
_RANGE = re.compile(r"U\+([0-9A-F]+)(?:-([0-9A-F]+))?")


def faces_for(text: str) -> str:
    """home_faces.css with every face the text needs, cut to its letters; the others are left out.

    Letters no face has are drawn by the reader's own.
    """
    css = (settings.BASE_DIR / "static" / "css" / "home_faces.css").read_text(encoding="utf-8")
    wanted = {ord(letter) for letter in text if letter.isprintable()}
    # A name inside a script or a figure in a table may be made later: all of plain Latin stays.
    wanted |= set(range(0x20, 0x7F))

    def face(found: re.Match[str]) -> str:
        rule = found[0]
        letters = frozenset(wanted & _covered(rule))
        source = _SOURCE.search(rule)
        if not letters or source is None:
            return ""
        data = base64.b64encode(_cut(source[1], letters)).decode()
        return rule.replace(source[0], f"url(data:font/woff2;base64,{data})")

    return _FACE.sub(face, css)


def _covered(rule: str) -> set[int]:
    ranges = rule.partition("unicode-range:")[2]
    found: set[int] = set()
    for low, high in _RANGE.findall(ranges):
        found |= set(range(int(low, 16), int(high or low, 16) + 1))
    return found


@lru_cache(maxsize=128)
def _cut(name: str, letters: frozenset[int]) -> bytes:
    from fontTools import subset  # type: ignore[import-untyped]
    from fontTools.ttLib import TTFont  # type: ignore[import-untyped]

    options = subset.Options()
    options.flavor, options.layout_features, options.hinting = "woff2", list(FEATURES), False
    # no words: tables of a font
    options.drop_tables += ["FFTM", "DSIG", "Silf", "Glat", "Gloc", "Feat", "Sill"]
    path = Path(settings.BASE_DIR) / "static" / "fonts" / name
    font = TTFont(path)
    cutter = subset.Subsetter(options)
    cutter.populate(unicodes=letters)
    cutter.subset(font)
    out = io.BytesIO()
    font.flavor = "woff2"
    font.save(out)
    return out.getvalue()
