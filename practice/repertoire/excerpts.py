"""Bars of a piece as the teacher types them."""

from __future__ import annotations

from functools import lru_cache

from django.utils.translation import gettext as _

from practice.engraving.engrave import SPOT, EngravingFailed
from practice.engraving.pictures import Picture, picture
from practice.engraving.spec import Spec
from practice.music.abc_bar import read_abc
from practice.music.abc_text import line_to_abc
from practice.music.errors import MusicError
from practice.music.excerpt import simpler_keys, transposed
from practice.music.keys import MINOR, parse_key

EASIER_KEYS = 3  # offered for one spot


def read_bars(typed: str, work_key: str) -> str:
    """The bars to keep. Typed without a K: field they stand in the work's key, where it has one.

    Raises MusicError with the place in what was typed.
    """
    abc = typed.replace("\r\n", "\n").strip()
    if not abc:
        return ""
    key = parse_key(work_key) if work_key and "K:" not in abc else None
    read_abc(abc, key)
    if key is None:
        return abc
    return f"K:{key.tonic}{'m' if key.mode == MINOR else ''}\n{abc}"


def picture_of(abc: str) -> Picture:
    """Raises MusicError with a sentence."""
    try:
        return picture(Spec("excerpt", abc=abc), SPOT)
    except EngravingFailed as error:
        raise MusicError(_("These bars are read, but cannot be engraved.")) from error


@lru_cache(maxsize=512)
def easier_keys(abc: str) -> tuple[str, ...]:
    """Names of keys with fewer signs in which the bars can be practised, the simplest first."""
    try:
        return tuple(key.name for key in simpler_keys(read_abc(abc), EASIER_KEYS)) if abc else ()
    except MusicError:
        return ()


@lru_cache(maxsize=512)
def bars_in(abc: str, key: str) -> str:
    """The bars in another key, as ABC. Raises MusicError."""
    return line_to_abc(transposed(read_abc(abc), parse_key(key)))


def easier_bars(abc: str, key: str) -> str:
    """The second exercise of a spot as ABC; "" where it has none, or its bars have changed so
    that the key no longer suits them."""
    try:
        return bars_in(abc, key) if abc and key else ""
    except MusicError:
        return ""
