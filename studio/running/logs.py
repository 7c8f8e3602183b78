"""Log lines that say where something broke and never whom it concerned."""

import logging
import re
import traceback
from types import TracebackType

ExceptionInfo = (
    tuple[type[BaseException], BaseException, TracebackType | None] | tuple[None, None, None]
)
# A long piece of an address may be the secret of a private link.
SECRET_PIECE = re.compile(r"/[A-Za-z0-9_-]{20,}")


class PrivateFormatter(logging.Formatter):
    """Leaves out secrets of addresses and texts of exceptions, which may quote a child's name."""

    def __init__(self) -> None:
        super().__init__("%(asctime)s %(levelname)s %(name)s: %(message)s")

    def formatMessage(self, record: logging.LogRecord) -> str:  # noqa: N802 (logging's name)
        record.message = SECRET_PIECE.sub("/…", record.message)
        return super().formatMessage(record)

    def formatException(self, ei: ExceptionInfo) -> str:  # noqa: N802 (logging's name)
        kind, _, trace = ei
        frames = "".join(traceback.format_tb(trace))
        return f"{frames}{kind.__name__ if kind else 'no exception'}"
