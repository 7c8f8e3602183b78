"""Cells of tables for people: what a spreadsheet would take for a formula becomes text."""

from __future__ import annotations

GUARD = "'"
# A spreadsheet calculates, or asks another program, where a cell begins with one of these.
STARTERS = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")


def guarded(text: str) -> str:
    """With an apostrophe before a formula's first sign, and before an apostrophe of its own."""
    return GUARD + text if text.startswith((*STARTERS, GUARD)) else text


def unguarded(text: str) -> str:
    """What `guarded` was given; other texts as they are."""
    return text[1:] if text.startswith(GUARD) and text[1:].startswith((*STARTERS, GUARD)) else text
