"""Bars of a piece as the teacher types them."""

from __future__ import annotations

from practice.engraving.engrave import SPOT, EngravingFailed
from practice.engraving.pictures import Picture, picture
from practice.engraving.spec import Spec
from practice.music.abc_bar import read_abc
from practice.music.errors import MusicError
from practice.music.keys import MINOR, parse_key


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
        raise MusicError("These bars are read, but cannot be engraved.") from error
