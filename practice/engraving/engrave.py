"""MEI to SVG by Verovio, cached by content.

Verovio's toolkit is not safe to share between threads (a shared one draws wrong pages
silently) and finds its fonts only where its resource path was set in the same thread, so each
thread keeps a toolkit of its own.
"""

import threading
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path
from typing import Any

import verovio
from django.utils.translation import gettext as _

from practice.engraving.flatten import STAFF, Box, Head, flatten

INK = "#201A15"
INK_DARK = "#F4EBDB"  # on a dark page
MUSIC_FONT = "Leland"  # no words: a name
_SHORT_LINE = 0.6  # a last line filled less than this is not stretched
_local = threading.local()


class EngravingFailed(ValueError):
    """Verovio could not read or draw the music."""


@dataclass(frozen=True, slots=True)
class Layout:
    """`staff_mm` is the height of a staff. `width_mm` None gives the natural width; otherwise
    lines are broken to that width and, where `justified`, stretched to fill it (a short last line
    of several is left as it is). `air` spreads the notes of natural-width pictures.
    `ink` is any CSS colour; "currentColor" suits an SVG set into the page itself."""

    staff_mm: float = 8.0
    width_mm: float | None = None
    justified: bool = True
    air: float = 0.25
    ink: str = INK


PAPER = Layout(8.0, 186.0)  # the text width of A4 and US Letter sheets
SPOT = Layout(7.4, air=0.4)
PHONE = Layout(7.0, 92.0)
CARD = Layout(6.0, air=0.33)


@dataclass(frozen=True, slots=True)
class Engraving:
    """A picture for `<img>`: size in millimetres, text alternative, and where each note and bar
    stands (ids n1, n2 … and m1, m2 … as in the MEI)."""

    svg: str
    width_mm: float
    height_mm: float
    alt: str
    heads: tuple[Head, ...]
    bars: tuple[Box, ...] = ()


def engrave(mei: str, layout: Layout = PAPER, alt: str = "") -> Engraving:
    """Draw one picture. Same input, same bytes. Raises EngravingFailed."""
    return replace(_drawn(mei, layout), alt=alt)


@lru_cache(maxsize=512)
def _drawn(mei: str, layout: Layout) -> Engraving:
    toolkit = loaded(mei, options(layout))
    raw = toolkit.renderToSVG(1)
    if layout.width_mm and layout.justified and raw.count('class="system"') > 1:
        toolkit.setOptions({"minLastJustification": _SHORT_LINE})
        toolkit.redoLayout()
        raw = toolkit.renderToSVG(1)
        _local.held = None  # laid out otherwise now
    return sized(raw, layout)


def sized(raw: str, layout: Layout) -> Engraving:
    """Verovio's page as a flat picture with its size."""
    flat = flatten(raw, layout.ink)
    scale = layout.staff_mm / STAFF
    width, height = round(flat.width * scale, 2), round(flat.height * scale, 2)
    size = f'<svg width="{width}mm" height="{height}mm" '
    svg = flat.svg.replace("<svg ", size, 1)
    return Engraving(svg, width, height, "", flat.heads, flat.bars)


def loaded(mei: str, settings: dict[str, Any]) -> Any:
    """This thread's toolkit with the music in it; what it holds already is not laid out again.
    Raises EngravingFailed."""
    toolkit = _toolkit()
    wanted = mei, settings
    if getattr(_local, "held", None) == wanted:
        return toolkit
    _local.held = None
    toolkit.setOptions(settings)
    if not toolkit.loadData(mei):
        raise EngravingFailed(_("The music could not be read for engraving."))
    _local.held = wanted
    return toolkit


def thread_toolkit() -> Any:
    """This thread's Verovio toolkit, for whoever wants to put music into it by himself."""
    _local.held = None
    return _toolkit()


def _toolkit() -> Any:
    """This thread's Verovio toolkit, fonts found."""
    toolkit = getattr(_local, "toolkit", None)
    if toolkit is None:
        verovio.enableLog(verovio.LOG_OFF)
        toolkit = verovio.toolkit(False)
        toolkit.setResourcePath(str(Path(verovio.__file__).parent / "data"))
        _local.toolkit = toolkit
    return toolkit


def options(layout: Layout) -> dict[str, Any]:
    """Verovio's settings for a layout."""
    natural = layout.width_mm is None
    width = 20000 if layout.width_mm is None else layout.width_mm * 72 / layout.staff_mm
    return {
        "inputFrom": "mei",
        "font": MUSIC_FONT,
        "breaks": "none" if natural else "auto",
        "pageWidth": int(width),
        "pageHeight": 60000,
        "adjustPageWidth": natural,
        "adjustPageHeight": True,
        "noJustification": natural or not layout.justified,
        "minLastJustification": 0,
        "pageMarginLeft": 30,
        "pageMarginRight": 10,
        "pageMarginTop": 10,
        "pageMarginBottom": 20,
        "header": "none",
        "footer": "none",
        "scale": 100,
        "svgViewBox": True,
        "svgRemoveXlink": True,
        "xmlIdChecksum": True,
        "smuflTextFont": "none",
        "spacingLinear": layout.air,
        "spacingNonLinear": 0.5,
        "measureMinWidth": 1,
        "fingeringScale": 0.85,
        "lyricSize": 4,
        "staffLineWidth": 0.13,
        "stemWidth": 0.2,
    }
