"""Content lines of RFC 5545: escaped, stamped and folded."""

from __future__ import annotations

import datetime as dt
import re

MOST_OCTETS = 75  # RFC 5545 section 3.1, without the line break
_ESCAPES = str.maketrans({"\\": "\\\\", ";": "\\;", ",": "\\,", "\n": "\\n"})
_BREAKS = re.compile(r"\r\n?|[\x0b\x0c\x1c-\x1e\x85\u2028\u2029]")
_CONTROLS = re.compile(r"[\x00-\x08\x0e-\x1f\x7f]")


def text(value: str) -> str:
    """A TEXT value (section 3.3.11): colons stay, control characters drop out."""
    return _CONTROLS.sub("", _BREAKS.sub("\n", value)).translate(_ESCAPES)


def utc(instant: dt.datetime) -> str:
    """A DATE-TIME in form 2 (section 3.3.5). The instant is aware."""
    moment = instant if instant.tzinfo is dt.UTC else instant.astimezone(dt.UTC)
    return f"{moment.isoformat()[:19].replace('-', '').replace(':', '')}Z"


def fold(line: str) -> str:
    """The line with its break, in pieces of at most 75 octets that split no character."""
    if len(line) <= MOST_OCTETS and line.isascii():
        return line + "\r\n"
    octets = line.encode()
    pieces, start, room = [], 0, MOST_OCTETS
    while start < len(octets):
        end = min(start + room, len(octets))
        while end < len(octets) and octets[end] & 0b1100_0000 == 0b1000_0000:
            end -= 1  # a byte that continues a character
        pieces.append(octets[start:end].decode())
        start, room = end, MOST_OCTETS - 1  # the space that marks the continuation counts
    return "\r\n ".join(pieces) + "\r\n"
