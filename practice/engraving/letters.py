"""Words inside an engraving, drawn as outlines.

An SVG shown through `<img>` cannot load the page's fonts, so fingers and words are drawn from
the outlines of the same Andika files the pages use (SIL Open Font Licence).
"""

import threading
from functools import lru_cache
from pathlib import Path
from typing import Any

from django.conf import settings
from fontTools.pens.svgPathPen import SVGPathPen  # type: ignore[import-untyped]
from fontTools.pens.transformPen import TransformPen  # type: ignore[import-untyped]
from fontTools.ttLib import TTFont  # type: ignore[import-untyped]

# A font reads its glyphs when they are first drawn, and is not made for two threads doing so.
_READING = threading.Lock()
_SUBSETS = ("latin", "latin-ext", "cyrillic", "vietnamese", "cyrillic-ext")


class _Face:
    """One weight; further subsets are opened only when a letter is missing."""

    def __init__(self, weight: int) -> None:
        self.weight = weight
        self.fonts: list[tuple[Any, dict[int, str], Any, float]] = []

    def glyph(self, letter: str) -> tuple[Any, str, Any, float] | None:
        """Glyph set, glyph name, advances and units to the em; None where no file has it."""
        for position in range(len(_SUBSETS)):
            if position >= len(self.fonts):
                self.fonts.append(_open(_SUBSETS[position], self.weight))
            glyphs, names, advances, em = self.fonts[position]
            if ord(letter) in names:
                return glyphs, names[ord(letter)], advances, em
        return None


def _open(subset: str, weight: int) -> tuple[Any, dict[int, str], Any, float]:
    folder = Path(settings.BASE_DIR) / "static" / "fonts"
    font = TTFont(folder / f"andika-{subset}-{weight}-normal.woff2", lazy=True)
    return font.getGlyphSet(), font.getBestCmap(), font["hmtx"], float(font["head"].unitsPerEm)


@lru_cache(maxsize=2)
def _face(weight: int) -> _Face:
    return _Face(weight)


@lru_cache(maxsize=1024)
def outline(text: str, size: float, bold: bool = False) -> tuple[str, float]:
    """Path data for a run of text set from x = 0 on the baseline y = 0, and its width.

    Units are those of `size`. A letter no file has leaves a space.
    """
    with _READING:
        return _drawn(text, size, bold)


def _drawn(text: str, size: float, bold: bool) -> tuple[str, float]:
    face = _face(700 if bold else 400)
    pen: SVGPathPen | None = None
    x = 0.0
    for letter in text:
        found = face.glyph(letter)
        if found is None:
            x += size * 0.5
            continue
        glyphs, name, advances, em = found
        if pen is None:
            pen = SVGPathPen(glyphs, ntos=lambda number: f"{number:.0f}")
        scale = size / em
        glyphs[name].draw(TransformPen(pen, (scale, 0, 0, -scale, x, 0)))
        x += advances[name][0] * scale
    return (pen.getCommands() if pen else ""), x
