"""Lists read from any usual file; anything else is told, with the line."""

from __future__ import annotations

import csv
import datetime as dt
import io
import zipfile

import pytest
import xlsxwriter
from hypothesis import given
from hypothesis import strategies as st

from studio.roster import tables
from studio.roster.tables import Line, UnreadableTable, read

HEAD = ["First name", "Family name", "E-mail"]
ROWS = [["Imani", "Okonkwo-Reyes", "tomás@example.org"], ["Søren, Kai", "Müller; Ø", '"q"']]
CELLS = st.text(
    st.characters(exclude_categories=["Cs", "Cc"], exclude_characters="\xa0'"), max_size=12
).map(str.strip)


def as_csv(rows: list[list[str]], delimiter: str = ",") -> str:
    text = io.StringIO()
    csv.writer(text, delimiter=delimiter).writerows(rows)
    return text.getvalue()


def as_xlsx(rows: list[list[object]]) -> bytes:
    """Written by XlsxWriter, a library of its own."""
    file = io.BytesIO()
    book = xlsxwriter.Workbook(file, {"in_memory": True, "default_date_format": "yyyy-mm-dd"})
    sheet = book.add_worksheet()
    for at, row in enumerate(rows):
        for column, value in enumerate(row):
            if isinstance(value, str):
                sheet.write_string(at, column, value)
            else:
                sheet.write(at, column, value)
    book.close()
    return file.getvalue()


def cells(content: bytes) -> list[list[str]]:
    return [list(line.cells) for line in read(content)]


@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be"])
def test_every_usual_delimiter_and_encoding(delimiter: str, encoding: str) -> None:
    content = as_csv([HEAD, *ROWS], delimiter).encode(encoding)
    assert cells(content) == [HEAD, *ROWS]


@pytest.mark.parametrize("delimiter", [",", ";"])
def test_windows_1252(delimiter: str) -> None:
    rows = [HEAD, ["Zoë", "Müller", "€ “x”"]]
    assert cells(as_csv(rows, delimiter).encode("cp1252")) == rows


def test_lines_are_counted_as_a_person_sees_them() -> None:
    content = b'a,b\n\n"two\nlines",c\nd,e\n'
    assert [line.number for line in read(content)] == [1, 3, 5]


def test_a_workbook() -> None:
    rows: list[list[object]] = [
        ["First name", "Born", "Lessons", "Note"],
        ["Imani", dt.date(2014, 3, 5), 12, "=1+1"],
        ["Kai", dt.datetime(2013, 1, 2), 1.5, "'=x"],  # noqa: DTZ001
    ]
    assert cells(as_xlsx(rows)) == [
        ["First name", "Born", "Lessons", "Note"],
        ["Imani", "2014-03-05", "12", "=1+1"],
        ["Kai", "2013-01-02", "1.5", "=x"],
    ]


@given(st.lists(st.lists(CELLS, min_size=2, max_size=4), min_size=1, max_size=4))
def test_any_workbook_comes_back(rows: list[list[str]]) -> None:
    kept = [row for row in rows if any(row)]
    if not kept:
        return
    found = cells(as_xlsx([list(row) for row in rows]))
    expected = []
    for row in kept:
        while row and not row[-1]:
            row.pop()
        expected.append(row)
    assert found == [row for row in expected if row]


def test_a_formula_is_read_by_its_result_never_calculated() -> None:
    file = io.BytesIO()
    book = xlsxwriter.Workbook(file, {"in_memory": True})
    sheet = book.add_worksheet()
    sheet.write_formula(0, 0, '=HYPERLINK("http://example.org")', None, "shown")
    book.close()
    assert cells(file.getvalue()) == [["shown"]]


def test_a_guarded_cell_loses_its_apostrophe() -> None:
    content = b"name,family,phone\nImani,''t Hooft,'+351 21 555\n"
    assert cells(content)[1] == ["Imani", "'t Hooft", "+351 21 555"]


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "no line with words"),
        (b"\n \n", "no line with words"),
        (b"%PDF-1.7\n\x00\x81\x8d", "cannot be read as text"),
        (b"a,b\n\x81\x8d\x8f", "Line 2 cannot be read as text"),
        (b"a\x00b" * 50, ""),
        (b"a," * 70, "Line 1 has"),
        (b"a\n" + b"y" * 5000, "Line 2"),
        (b"a\n" * 2100, "more than 2000 lines"),
        (b'a\n"' + b"z" * 200_000, "Line 2"),
        (b"PK\x03\x04 no zip", "damaged"),
    ],
)
def test_what_is_no_list(content: bytes, words: str) -> None:
    if not words:
        read_or_told(content)
        return
    with pytest.raises(UnreadableTable, match=words):
        read(content)


def rezipped(change: dict[str, bytes]) -> bytes:
    good = zipfile.ZipFile(io.BytesIO(as_xlsx([["Imani"]])))
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
        parts = {name: good.read(name) for name in good.namelist()}
        for name, content in {**parts, **change}.items():
            archive.writestr(name, content)
    return file.getvalue()


@pytest.mark.parametrize("encoding", ["utf-8", "utf-16"])
@pytest.mark.parametrize(
    "entity",
    [
        '<!ENTITY a "x"><!ENTITY b "&a;&a;&a;&a;">',
        '<!ENTITY a SYSTEM "file:///etc/passwd">',
        '<!ENTITY % a SYSTEM "http://example.org/a.dtd"> %a;',
    ],
)
def test_entities_are_refused_in_every_encoding(entity: str, encoding: str) -> None:
    document = f'<?xml version="1.0" encoding="{encoding}"?><!DOCTYPE w [{entity}]><w>&a;</w>'
    content = rezipped({"xl/workbook.xml": document.encode(encoding)})
    with pytest.raises(UnreadableTable, match="XML entities"):
        read(content)


def test_a_zip_bomb_is_refused_before_it_is_unpacked() -> None:
    content = rezipped({"xl/worksheets/sheet9.xml": b" " * (41 * 1024 * 1024)})
    assert len(content) < tables.LARGEST_FILE
    with pytest.raises(UnreadableTable, match="far more than a list"):
        read(content)


ATTRIBUTES = " ".join(f'a{n}=""' for n in range(1000))


@pytest.mark.parametrize(
    ("part", "element"),
    [
        ("xl/worksheets/sheet1.xml", "<c/>"),
        ("xl/worksheets/sheet1.xml", "<row/>"),
        ("xl/styles.xml", "<xf/>"),
        ("xl/sharedStrings.xml", "<si/>"),
        ("xl/sharedStrings.xml", f"<si {ATTRIBUTES}/>"),
    ],
)
def test_a_part_of_far_too_many_elements_is_refused_before_it_is_read(
    part: str, element: str
) -> None:
    """39 kB of cells in one row took openpyxl 47 s and 3 GB."""
    many = "<a>" + element * (8_000_000 // len(element)) + "</a>"
    content = rezipped({part: many.encode()})
    assert len(content) < tables.LARGEST_FILE
    with pytest.raises(UnreadableTable, match="far more than a list"):
        read(content)


SHEET = '<sheet name="S{0}" sheetId="{0}" xmlns:r="x" r:id="rId{1}"/>'
RELATION = '<Relationship Id="rId{}" Type="worksheet" Target="{}"/>'


@pytest.mark.parametrize(
    ("sheets", "relations"),
    [
        ([(n, n) for n in range(1, 60)], []),
        ([(1, 1), (2, 1)], []),
        ([(1, 1), (2, 2)], ["worksheets/sheet1.xml", "/xl/worksheets/../worksheets/sheet1.xml"]),
    ],
    ids=["many sheets", "one address twice", "one part twice"],
)
def test_one_part_is_not_read_as_many_sheets(
    sheets: list[tuple[int, int]], relations: list[str]
) -> None:
    parts = {"xl/workbook.xml": f"<w>{''.join(SHEET.format(*each) for each in sheets)}</w>"}
    if relations:
        held = (RELATION.format(n, target) for n, target in enumerate(relations, 1))
        parts["xl/_rels/workbook.xml.rels"] = f"<r>{''.join(held)}</r>"
    with pytest.raises(UnreadableTable, match="far more than a list"):
        read(rezipped({name: text.encode() for name, text in parts.items()}))


def test_entities_are_refused_in_a_part_of_any_name() -> None:
    """The workbook says which parts are read, whatever they are called."""
    hidden = b'<!DOCTYPE w [<!ENTITY a "x">]><worksheet/>'
    with pytest.raises(UnreadableTable, match="XML entities"):
        read(rezipped({"xl/worksheets/sheet1": hidden}))


def test_pictures_in_a_workbook_do_no_harm() -> None:
    assert read(rezipped({"xl/media/image1.png": b"\x89PNG\r\n<!DOCTYPE", "a.txt": b"< &"}))


def test_a_list_as_large_as_is_taken_is_read() -> None:
    rows: list[list[object]] = [[f"{n} {m}" for m in range(60)] for n in range(2001)]
    assert len(read(as_xlsx(rows))) == 2001


def test_a_sheet_that_says_it_is_endless_is_read_as_far_as_is_taken() -> None:
    sheet = (
        '<?xml version="1.0"?><worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/'
        '2006/main"><dimension ref="A1:XFD1048576"/><sheetData><row r="1048576"><c r="XFD1048576" '
        't="inlineStr"><is><t>far</t></is></c></row></sheetData></worksheet>'
    )
    read_or_told(rezipped({"xl/worksheets/sheet1.xml": sheet.encode()}))


def read_or_told(content: bytes) -> list[Line]:
    try:
        return read(content)
    except UnreadableTable:
        return []


@given(st.binary(max_size=300))
def test_any_bytes_are_read_or_told(content: bytes) -> None:
    read_or_told(content)


@given(st.text(max_size=200), st.sampled_from(["utf-8", "utf-16", "utf-32", "utf-8-sig"]))
def test_any_text_is_read_or_told(text: str, encoding: str) -> None:
    read_or_told(text.encode(encoding, errors="ignore"))


@given(st.data())
def test_any_workbook_is_read_or_told(data: st.DataObject) -> None:
    raw = bytearray(GOOD)
    for _ in range(data.draw(st.integers(1, 4))):
        at = data.draw(st.integers(0, len(raw) - 1))
        raw[at : at + data.draw(st.integers(0, 9))] = data.draw(st.binary(max_size=9))
    read_or_told(bytes(raw))


PARTS = ["xl/workbook.xml", "xl/worksheets/sheet1.xml", "xl/styles.xml", "xl/sharedStrings.xml"]


@pytest.mark.filterwarnings("ignore::UserWarning:openpyxl")
@given(st.data())
def test_any_part_of_a_workbook_is_read_or_told(data: st.DataObject) -> None:
    """The fuzz inside the zip: well packed, with signs changed in one part."""
    name = data.draw(st.sampled_from(PARTS))
    raw = bytearray(zipfile.ZipFile(io.BytesIO(GOOD)).read(name))
    for _ in range(data.draw(st.integers(1, 3))):
        at = data.draw(st.integers(0, len(raw) - 1))
        raw[at : at + data.draw(st.integers(0, 9))] = data.draw(st.binary(max_size=9))
    read_or_told(rezipped({name: bytes(raw)}))


GOOD = as_xlsx([["First name", "Born"], ["Imani", dt.date(2014, 3, 5)]])
