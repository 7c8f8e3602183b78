"""A long book is made by a process of its own: nobody who clicks or prints waits for it, and what
it took of memory is given back."""

from __future__ import annotations

import tempfile
import threading
from pathlib import Path

from django.conf import settings
from django.utils.translation import gettext as _

from practice.printing.orders import Order
from practice.printing.pens import Pen
from practice.scalebook.paper import NoPage, book_pdf
from practice.scalebook.wish import BookData
from studio.web.pdf import PrintingMissing

AT_ONCE = 24  # pages that are made faster than a process is started
_ONE = threading.Lock()


class NotMade(ValueError):
    """There is no book; the text says why."""


def book_made(data: BookData) -> bytes:
    """The PDF. Raises NotMade."""
    if data.wish.pages > AT_ONCE:
        return _apart(data)
    try:
        return book_pdf(data)
    except (NoPage, PrintingMissing) as trouble:
        raise NotMade(str(trouble)) from trouble


def _apart(data: BookData) -> bytes:
    if not _ONE.acquire(blocking=False):
        raise NotMade(_("Another book is being made. Try again in half a minute."))
    pen = Pen()
    try:
        with tempfile.TemporaryDirectory(dir=settings.DATA_DIR) as folder:
            file = Path(folder) / "book.pdf"
            answer = pen.draw(Order(0, "books", str(file), data.to_json()))
            if answer.trouble:
                less = _(
                    "Choose fewer keys or bowings, or try again when the computer has less to do."
                )
                raise NotMade(f"{answer.trouble} {less}")
            return file.read_bytes()
    finally:
        pen.put_down()
        _ONE.release()
