"""What disk and database refuse, told to whoever waits for an answer. No paths, no names."""

from __future__ import annotations

import errno
import sqlite3
from dataclasses import dataclass
from enum import Enum
from typing import Final

from django.db import Error as DatabaseFault
from django.db import InterfaceError, OperationalError
from django.utils.translation import gettext_noop as _


@dataclass(frozen=True)
class Words:
    """`happened`, a sentence; `do`, the beginning of one that ends with what to try again.

    In English; a page shows them translated.
    """

    happened: str
    do: str


class Fault(Enum):
    BUSY = Words(
        _("Another program is writing to the studio and did not let go in time."),
        _("Wait a little"),
    )
    FULL = Words(_("The disk is full."), _("Make room on the disk"))
    READ_ONLY = Words(
        _("The folder of the studio cannot be written."),
        _("Make its disk and folder writable"),
    )
    DAMAGED = Words(
        _("The database of the studio is damaged."),
        _("Close the program, put the last backup back with python3 manage.py restore"),
    )
    AWAY = Words(
        _("The database of the studio does not answer."),
        _("Look whether its disk or its server is there"),
    )


# Looked for in the words of SQLite, in this order (its C source, sqlite3ErrStr; stable for years).
SIGNS: Final[tuple[tuple[str, Fault], ...]] = (
    ("malformed", Fault.DAMAGED),
    ("not a database", Fault.DAMAGED),
    ("disk is full", Fault.FULL),
    ("readonly", Fault.READ_ONLY),
    ("locked", Fault.BUSY),
    ("unable to open", Fault.AWAY),
    ("disk I/O error", Fault.AWAY),
)
NUMBERS: Final = {
    errno.ENOSPC: Fault.FULL,
    errno.EDQUOT: Fault.FULL,
    errno.EFBIG: Fault.FULL,
    errno.EROFS: Fault.READ_ONLY,
    errno.EACCES: Fault.READ_ONLY,
    errno.EPERM: Fault.READ_ONLY,
}


def fault_of(error: BaseException | None) -> Fault | None:
    """What kind of refusal an error is; None where the program itself is to blame."""
    if isinstance(error, DatabaseFault | sqlite3.Error):
        found = next((fault for sign, fault in SIGNS if sign in str(error)), None)
        if found is None and isinstance(error, OperationalError | InterfaceError):
            return None if "no such" in str(error) else Fault.AWAY
        return found
    if isinstance(error, OSError) and error.errno is not None:
        return NUMBERS.get(error.errno)
    return None
