"""A list of people out of a CSV or XLSX file, as lines of text. Bounded; changes nothing."""

from __future__ import annotations

import csv
import datetime as dt
import io
import zipfile
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any
from xml.parsers import expat

from django.utils.translation import gettext as _

from studio.export.guarding import unguarded

LARGEST_FILE = 2 * 1024 * 1024
LARGEST_UNPACKED = 20 * 1024 * 1024
MOST_PARTS = 500
# A list of 2000 lines and 60 columns has 480,000; openpyxl takes up to 40 µs and 600 bytes
# for each.
MOST_ELEMENTS = 500_000
MOST_SHEETS = 50
MOST_LINES = 2_000
MOST_COLUMNS = 60
MOST_CHARACTERS = 1_500_000
LONGEST_CELL = 4_000
DELIMITERS = ",;\t|"
BOMS = (
    (b"\xef\xbb\xbf", "utf-8-sig"),
    (b"\xff\xfe\x00\x00", "utf-32"),
    (b"\xff\xfe", "utf-16"),
    (b"\xfe\xff", "utf-16"),
)


class UnreadableTable(ValueError):
    """The file is no list we can take; the message says why and, where it can, the line."""


@dataclass(frozen=True)
class Line:
    """`number` is the line a person sees in the file, from 1."""

    number: int
    cells: tuple[str, ...]


def read(content: bytes) -> list[Line]:
    """The lines that hold something, each cell without blanks at its ends.

    At most LARGEST_FILE bytes, which the form sees to. Raises UnreadableTable.
    """
    found = _sheet(content) if content.startswith(b"PK\x03\x04") else _text(content)
    lines = _bounded(found)
    if not lines:
        raise UnreadableTable(_("The file holds no line with words in it."))
    return lines


def _bounded(lines: Iterable[Line]) -> list[Line]:
    kept, characters = [], 0
    for line in lines:
        cells = tuple(_cell(cell) for cell in line.cells)
        while cells and not cells[-1]:
            cells = cells[:-1]
        if not cells:
            continue
        characters += sum(map(len, cells))
        if len(cells) > MOST_COLUMNS:
            said = _("Line {line} has {n} columns; at most {most} are read.")
            raise UnreadableTable(said.format(line=line.number, n=len(cells), most=MOST_COLUMNS))
        if longest := next((cell for cell in cells if len(cell) > LONGEST_CELL), ""):
            raise UnreadableTable(_too_long(line.number, longest))
        kept.append(Line(line.number, cells))
        if len(kept) > MOST_LINES + 1 or characters > MOST_CHARACTERS:
            said = _(
                "The list has more than {n} lines, or very long ones. Bring it in several parts."
            )
            raise UnreadableTable(said.format(n=MOST_LINES))
    return kept


def _too_long(line: int, cell: str) -> str:
    said = _("Line {line}: “{begins}…” has {n} characters; at most {most} fit into one cell.")
    return said.format(line=line, begins=cell[:30], n=len(cell), most=LONGEST_CELL)


def _cell(text: str) -> str:
    """Without blanks at its ends, and without the apostrophe that guards a formula's first sign."""
    text = text.replace("\xa0", " ").replace("\r\n", "\n").replace("\r", "\n").strip()
    return unguarded(text)


def _text(content: bytes) -> Iterator[Line]:
    text = _decoded(content)
    if "\x00" in text:
        raise UnreadableTable(_("This is no list: the file holds signs that no text has."))
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=_delimiter(text))
    before = 0
    try:
        for cells in reader:
            yield Line(before + 1, tuple(cells))
            before = reader.line_num
    except csv.Error as error:
        said = _("Line {line} cannot be read: {why}.").format(line=before + 1, why=error)
        raise UnreadableTable(said) from error


def _decoded(content: bytes) -> str:
    """UTF-8, UTF-16 or Windows-1252, by its mark or by what it holds."""
    encoding = next((name for mark, name in BOMS if content.startswith(mark)), None)
    if encoding is None and content[:200].count(0) * 3 > len(content[:200]):
        encoding = "utf-16-le" if content[1:2] == b"\x00" else "utf-16-be"
    for each in [encoding] if encoding else ["utf-8", "cp1252"]:
        try:
            return content.decode(each)
        except UnicodeDecodeError as error:
            line, trouble = content[: error.start].count(b"\n") + 1, error
    said = _("Line {line} cannot be read as text. Save the list as CSV in UTF-8, or as XLSX.")
    raise UnreadableTable(said.format(line=line)) from trouble


def _delimiter(text: str) -> str:
    """The sign that cuts the first lines most evenly; of two, the one that cuts them finer."""

    def evenness(sign: str) -> tuple[int, int]:
        rows = csv.reader(io.StringIO(text[:20_000], newline=""), delimiter=sign)
        counts: list[int] = []
        try:
            for row in rows:
                if any(cell.strip() for cell in row):
                    counts.append(len(row))
                if len(counts) == 20:
                    break
        except csv.Error:
            pass
        first = counts[0] if counts else 0
        return (sum(count == first for count in counts) if first > 1 else 0, first)

    return max(DELIMITERS, key=evenness)


def _sheet(content: bytes) -> Iterator[Line]:
    """The first sheet with words in it. Values as a person sees them; formulas by their result."""
    _check_parts(content)
    from openpyxl import load_workbook  # type: ignore[import-untyped]

    try:
        book = load_workbook(io.BytesIO(content), read_only=True, data_only=True, keep_links=False)
        for sheet in book.worksheets:
            # Never more than is taken, whatever size the sheet says it has.
            rows = sheet.iter_rows(
                max_row=4 * MOST_LINES, max_col=MOST_COLUMNS + 1, values_only=True
            )
            lines = [
                Line(number, tuple(map(_shown, row)))
                for number, row in enumerate(rows, 1)
                if row.count(None) < len(row)
            ]
            if any(any(line.cells) for line in lines):
                yield from lines
                return
    except Exception as error:  # openpyxl raises whatever comes up in a damaged file
        said = _("The file is no workbook that can be read. Save it as XLSX once more, or as CSV.")
        raise UnreadableTable(said) from error


def _check_parts(content: bytes) -> None:
    """Refuse what unpacks to far more than a list, and XML that defines things of its own."""
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            parts = archive.infolist()
            # zipfile never gives more of a part than the size that is stated here.
            if len(parts) > MOST_PARTS or sum(p.file_size for p in parts) > LARGEST_UNPACKED:
                raise _far_more()
            look = _Look()
            for part in parts:
                look.at(part.filename, archive.read(part))
            look.again()
    except UnreadableTable:
        raise
    except Exception as error:  # a damaged zip, a password, a method nobody knows
        raise UnreadableTable(_("The file is damaged, or locked with a password.")) from error


def _far_more() -> UnreadableTable:
    return UnreadableTable(_("The workbook unpacks to far more than a list of students."))


class _Look:
    """What all parts hold together, before any of it is read as a workbook.

    A part need not be called .xml to be read as XML.
    """

    def __init__(self) -> None:
        self.elements = 0
        self.sheets: list[str] = []
        self.parts: set[str] = set()
        self.named_twice: set[str] = set()

    def at(self, name: str, content: bytes) -> None:
        """Look through one part."""
        targets: set[str] = set()

        def begins(element: str, attributes: dict[str, str]) -> None:
            self.elements += 1 + max(0, len(attributes) - 8)  # a cell has three
            self.parts.add(_last(name, "/"))
            kind = _last(element, ":")
            if kind == "Relationship":  # no words: XML
                target = _last(attributes.get("Target", ""), "/")  # no words: XML
                (self.named_twice if target in targets else targets).add(target)
            elif kind == "sheet":
                self.sheets += [told for key, told in attributes.items() if _last(key, ":") == "id"]
            if self.elements > MOST_ELEMENTS or len(self.sheets) > MOST_SHEETS:
                raise _far_more()

        parser = expat.ParserCreate()
        parser.StartElementHandler = begins
        parser.StartDoctypeDeclHandler = parser.EntityDeclHandler = _refuse_entities
        try:
            parser.Parse(content, True)
        except expat.ExpatError:
            if name.endswith((".xml", ".rels", ".vml")):
                raise  # else a picture

    def again(self) -> None:
        """Refuse one part that would be read as many sheets."""
        if self.parts & self.named_twice or len(set(self.sheets)) < len(self.sheets):
            raise _far_more()


def _last(text: str, sign: str) -> str:
    return text.rpartition(sign)[2]


def _refuse_entities(*_defined: Any) -> None:
    """Without a document type there is no entity to grow, and nothing to fetch."""
    said = _("The workbook defines XML entities, which no list of students needs.")
    raise UnreadableTable(said)


def _shown(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, dt.datetime):
        return value.date().isoformat()
    if isinstance(value, float) and value.is_integer() and abs(value) < 1e15:
        return str(int(value))
    return str(value)
