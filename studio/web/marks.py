"""The program's own marks: one SVG file each in static/marks, on a 24 grid, in currentColor."""

import re
from functools import lru_cache

from django.conf import settings

_WHOLE = re.compile(r"<svg[^>]*>(?P<strokes>.*)</svg>\s*", re.DOTALL)


@lru_cache(maxsize=256)
def strokes(name: str) -> str:
    """What stands inside the mark's <svg>. Raises ValueError for a mark that is not there."""
    path = settings.BASE_DIR / "static" / "marks" / f"{name}.svg"
    if not re.fullmatch(r"[a-z-]+", name) or not path.is_file():
        raise ValueError(f"There is no mark called {name!r} in static/marks.")
    whole = _WHOLE.fullmatch(path.read_text(encoding="utf-8"))
    if whole is None:
        raise ValueError(f"static/marks/{name}.svg is not one <svg> element.")
    return whole["strokes"]


@lru_cache(maxsize=512)
def svg(name: str, ink: str = "currentColor", css_class: str = "mark") -> str:
    """The mark as an inline picture that screen readers pass over: its word stands beside it."""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="{css_class}" viewBox="0 0 24 24"'
        ' width="24" height="24" aria-hidden="true" focusable="false" fill="none"'
        f' stroke="{ink}" stroke-width="2" stroke-linecap="round" stroke-linejoin="round">'
        f"{strokes(name).replace('currentColor', ink)}</svg>"
    )
