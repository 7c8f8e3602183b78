"""MEI to SVG by Verovio, cached by content.

Verovio's toolkit is not safe to share between threads (a shared one draws wrong pages
silently) and finds its fonts only where its resource path was set in the same thread, so each
thread keeps a toolkit of its own.
"""

import threading
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

import verovio

from practice.engraving.flatten import Head, flatten

INK = "#201A15"
INK_DARK = "#F4EBDB"  # on a dark page
MUSIC_FONT = "Leland"
_STAFF_UNITS = 720.0  # height of a staff in Verovio's picture
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
    """A picture for `<img>`: size in millimetres, text alternative, and where each note stands
    (ids n1, n2 … as in the MEI)."""

    svg: str
    width_mm: float
    height_mm: float
    alt: str
    heads: tuple[Head, ...]


def engrave(mei: str, layout: Layout = PAPER, alt: str = "") -> Engraving:
    """Draw one picture. Same input, same bytes. Raises EngravingFailed."""
    svg, width, height, heads = _drawn(mei, layout)
    return Engraving(svg, width, height, alt, heads)


@lru_cache(maxsize=512)
def _drawn(mei: str, layout: Layout) -> tuple[str, float, float, tuple[Head, ...]]:
    toolkit = thread_toolkit()
    toolkit.setOptions(_options(layout))
    if not toolkit.loadData(mei):
        raise EngravingFailed("The music could not be read for engraving.")
    raw = toolkit.renderToSVG(1)
    if layout.width_mm and layout.justified and raw.count('class="system"') > 1:
        toolkit.setOptions({"minLastJustification": _SHORT_LINE})
        toolkit.redoLayout()
        raw = toolkit.renderToSVG(1)
    flat = flatten(raw, layout.ink)
    scale = layout.staff_mm / _STAFF_UNITS
    width, height = round(flat.width * scale, 2), round(flat.height * scale, 2)
    size = f'<svg width="{width}mm" height="{height}mm" '
    return flat.svg.replace("<svg ", size, 1), width, height, flat.heads


def thread_toolkit() -> Any:
    """This thread's Verovio toolkit, fonts found."""
    toolkit = getattr(_local, "toolkit", None)
    if toolkit is None:
        verovio.enableLog(verovio.LOG_OFF)
        toolkit = verovio.toolkit(False)
        toolkit.setResourcePath(str(Path(verovio.__file__).parent / "data"))
        _local.toolkit = toolkit
    return toolkit


def _options(layout: Layout) -> dict[str, Any]:
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
        "pageMarginBottom": 10,
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
