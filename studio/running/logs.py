"""Log lines that say where something broke and never whom it concerned."""

import io
import logging
import os
import re
import traceback
from logging.handlers import RotatingFileHandler
from pathlib import Path
from types import TracebackType

from studio.running import presence
from studio.running.trouble import Trouble

ExceptionInfo = (
    tuple[type[BaseException], BaseException, TracebackType | None] | tuple[None, None, None]
)
# A long piece of an address may be the secret of a private link.
SECRET_PIECE = re.compile(r"/[A-Za-z0-9_-]{20,}")
# And what is asked for after the question mark, a child's name.
ASKED = re.compile(r"\?[^\s]*")
LARGEST, KEPT = 1_000_000, 4
TURNING = "turning-the-log"


class PrivateFile(RotatingFileHandler):
    """Five files of a megabyte in the data folder, its owner's alone, begun with the first line.

    Several processes write one: each follows when another has turned it, and one at a time turns.
    A disk that takes no line is told elsewhere and stops nobody's page.
    """

    def __init__(self, path: Path) -> None:
        super().__init__(path, maxBytes=LARGEST, backupCount=KEPT, encoding="utf-8", delay=True)

    def _open(self) -> io.TextIOWrapper:
        path = Path(self.baseFilename)
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        path.touch(0o600)
        return super()._open()

    def emit(self, record: logging.LogRecord) -> None:
        if not self._is_mine():
            self._let_go()
        super().emit(record)

    def doRollover(self) -> None:  # noqa: N802 (logging's name)
        path = Path(self.baseFilename)
        try:
            with presence.first(path.parent, TURNING) as held:
                # Where another process turns it, or has, the line goes into what is there.
                if held and self._is_mine():
                    super().doRollover()
        except (OSError, Trouble):
            pass  # it grows until it can be turned
        if not self._is_mine():
            self._let_go()
        if self._opened() is None:
            self.stream = self._open()

    def _opened(self) -> io.TextIOWrapper | None:
        """There is none before the first line and after a turn, whatever its type says."""
        return self.stream

    def _is_mine(self) -> bool:
        """Whether the file of that name is the one this process has open."""
        stream = self._opened()
        try:
            return stream is not None and os.path.samestat(
                os.fstat(stream.fileno()), os.stat(self.baseFilename)
            )
        except OSError:
            return False

    def _let_go(self) -> None:
        stream = self._opened()
        if stream is not None:
            stream.close()
            self.stream = None  # type: ignore[assignment]  # logging does so itself

    def handleError(self, record: logging.LogRecord) -> None:  # noqa: N802 (logging's name)
        pass


class PrivateFormatter(logging.Formatter):
    """Leaves out what in addresses is secret or asked for, and texts of exceptions.

    Each of them may hold a child's name.
    """

    def __init__(self) -> None:
        super().__init__("%(asctime)s %(levelname)s %(name)s: %(message)s")

    def formatMessage(self, record: logging.LogRecord) -> str:  # noqa: N802 (logging's name)
        record.message = ASKED.sub("?…", SECRET_PIECE.sub("/…", record.message))
        return super().formatMessage(record)

    def formatException(self, ei: ExceptionInfo) -> str:  # noqa: N802 (logging's name)
        kind, _, trace = ei
        frames = "".join(traceback.format_tb(trace))
        return f"{frames}{kind.__name__ if kind else 'no exception'}"
