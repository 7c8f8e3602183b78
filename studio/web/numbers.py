"""Whole numbers that stand in an address, or in a field that no form looks at."""

from __future__ import annotations

import re

# No row has a longer one, and Python refuses to read those of some thousand digits.
_NUMBER = re.compile(r"[0-9]{1,18}")


def number_of(text: str) -> int | None:
    """None for what is no such number."""
    return int(text) if _NUMBER.fullmatch(text) else None
