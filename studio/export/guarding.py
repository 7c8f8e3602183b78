"""Cells of tables for people: what a spreadsheet would take for a formula becomes text."""

from __future__ import annotations

import re

GUARD = "'"
# A spreadsheet calculates, or asks another program, where a cell begins with one of these.
SIGNS, BLANKS = "=+-@＝＋－＠", "\t\r\n"
# A program that cuts at other signs than ours, as those of many countries do, sees more cells.
_INSIDE = rf"(?={GUARD}*[{re.escape(SIGNS)}])"
_CUT = r"(?<=[;,|\t\r\n])"
_START = rf"(?=[{re.escape(SIGNS + BLANKS)}{GUARD}])"
_OPEN = re.compile(rf"\A{_START}|{_CUT}{_INSIDE}")
_SHUT = re.compile(rf"\A{GUARD}{_START}|{_CUT}{GUARD}{_INSIDE}")


def guarded(text: str) -> str:
    """With an apostrophe before a formula's first sign, and before an apostrophe of its own."""
    return _OPEN.sub(GUARD, text)


def unguarded(text: str) -> str:
    """What `guarded` was given; other texts as they are."""
    return _SHUT.sub("", text)
