"""What one drawing process is asked, and what it answers: lines of JSON. It needs no database."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Any

from django.utils.timezone import get_current_timezone_name
from django.utils.translation import get_language
from django.utils.translation import gettext as _

from practice.printing import bind, store
from practice.reports.data import ReportData
from practice.reports.render import ReportTooLong, report_pdf
from practice.scalebook.paper import NoPage, book_pdf
from practice.scalebook.wish import BookData
from practice.sheets.data import SheetData, drawn
from practice.sheets.pictures import draw
from practice.sheets.render import SheetTooFull, sheet_pdf
from studio.language import note_names
from studio.web.pdf import PrintingMissing
from studio.web.speaking import speaking

BIND = "bind"


@dataclass(frozen=True)
class Order:
    """Draw `data` of that kind into `file`, or bind what `data` names; `key` comes back.

    It is carried out in the language, zone and names of notes in which it was given.
    """

    key: int
    kind: str
    file: str
    data: dict[str, Any]
    locale: str = field(default_factory=lambda: get_language() or "en")
    zone: str = field(default_factory=get_current_timezone_name)
    note_names: str = field(default_factory=note_names)

    def line(self) -> bytes:
        return json.dumps(asdict(self)).encode() + b"\n"


@dataclass(frozen=True)
class Answer:
    """`trouble` is a sentence, empty where the file was made; `nobodys`: none can be made."""

    key: int
    trouble: str = ""
    nobodys: bool = False

    def line(self) -> bytes:
        return json.dumps(asdict(self)).encode() + b"\n"


@dataclass(frozen=True)
class Binding:
    """The parts to bind, in order, with their names in the zip."""

    title: str
    parts: list[str]
    names: list[str] = field(default_factory=list)

    def order(self, folder: Path) -> Order:
        return Order(0, BIND, str(folder), asdict(self))


def carried_out(order: Order) -> Answer:
    """Makes the file. What cannot be drawn is answered, never raised."""
    with speaking(order):
        return _carried_out(order)


def broken_off(order: Order) -> Answer:
    """What is answered for a process that no longer answers."""
    with speaking(order):
        return Answer(order.key, _("The page could not be drawn: the drawing broke off."))


def _carried_out(order: Order) -> Answer:
    try:
        if order.kind == BIND:
            _bind(Path(order.file), Binding(**order.data))
        else:
            store.write(Path(order.file), DRAWS[order.kind](order.data))
    except PrintingMissing as trouble:
        return Answer(order.key, str(trouble), nobodys=True)
    except OSError as trouble:
        words = _("The pages could not be kept: {why}.").format(why=trouble.strerror)
        return Answer(order.key, words, nobodys=True)
    except (ReportTooLong, SheetTooFull, NoPage) as trouble:
        return Answer(order.key, str(trouble))
    except Exception as trouble:  # one student's page must not take the others' with it
        words = _("The page could not be drawn ({error}).").format(error=type(trouble).__name__)
        return Answer(order.key, words)
    return Answer(order.key)


def _bind(folder: Path, binding: Binding) -> None:
    parts = [Path(part) for part in binding.parts]
    store.write(folder / store.PDF, bind.bound(parts, binding.title))
    store.write(folder / store.ZIP, bind.packed(list(zip(binding.names, parts, strict=True))))


def _report(data: dict[str, Any]) -> bytes:
    return report_pdf(ReportData.from_json(data))


def _sheet(data: dict[str, Any]) -> bytes:
    return sheet_pdf(drawn(SheetData.from_json(data), draw))


def _book(data: dict[str, Any]) -> bytes:
    return book_pdf(BookData.from_json(data))


DRAWS: dict[str, Callable[[dict[str, Any]], bytes]] = {
    "reports": _report,
    "sheets": _sheet,
    "books": _book,
}
