"""Log lines that say where something broke and never whom it concerned."""

import logging
import traceback
from types import TracebackType

ExceptionInfo = (
    tuple[type[BaseException], BaseException, TracebackType | None] | tuple[None, None, None]
)


class PrivateFormatter(logging.Formatter):
    """Leaves out the text of an exception: a database error may quote a child's name."""

    def __init__(self) -> None:
        super().__init__("%(asctime)s %(levelname)s %(name)s: %(message)s")

    def formatException(self, ei: ExceptionInfo) -> str:  # noqa: N802 (logging's name)
        kind, _, trace = ei
        frames = "".join(traceback.format_tb(trace))
        return f"{frames}{kind.__name__ if kind else 'no exception'}"
