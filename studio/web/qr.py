"""QR codes as SVG, ink only, with the quiet zone a reader needs."""

from __future__ import annotations

import io

import segno

QUIET = 4  # modules of white on each side, ISO/IEC 18004


def svg(content: str) -> str:
    """A code of the content; error correction M, so a crease in paper does no harm."""
    out = io.BytesIO()
    segno.make(content, error="m", micro=False).save(
        out, kind="svg", border=QUIET, dark="#000000", light="#FFFFFF", xmldecl=False, scale=4
    )
    return out.getvalue().decode()
