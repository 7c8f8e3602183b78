"""Workbooks and lists with hostile insides, written by hand."""

from __future__ import annotations

import csv
import io
import zipfile

import pytest
from hypothesis import strategies as st

from studio.roster.headings import HEADINGS
from tests.studio.web.test_fuzz import CHANGES, typed

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
PACKAGE = "http://schemas.openxmlformats.org/package/2006"
KIND = "application/vnd.openxmlformats-officedocument.spreadsheetml"
CFB = bytes.fromhex("d0cf11e0a1b11ae1")  # how a workbook with a password begins (MS-CFB 2.2)

either = st.sampled_from
numbers = either(
    [
        *("0", "1", "-1", "41977", "41977.75", "60", "2958465", "2958466", "-400", "1e15", "1e308"),
        *("1e999", "-1e999", "NaN", "inf", "-0", "", " ", "0x10", "1,5", "9" * 400, "9" * 5000),
        "4" * 310 + ".5",
    ]
)
days = either(
    [
        *("2014-03-05", "2014-03-05T10:00:00Z", "0000-00-00", "9999-12-31", "10000-01-01"),
        *("2014-02-30", "2014-03-05T25:61:00", "P1D", "T10", "", "05/03/2014", "31.12.13"),
    ]
)
places = either(
    ["", "A1", "B2", "C1", "XFD1048576", "XFE1", "A0", "ZZZZ9", "1A", "A", "a1", "$A$1"]
)
rows_at = either(["", "1", "2", "3", "1", "0", "-1", "x", "1.5", "8000", "1048576", "9" * 30])
indices = either(["0", "1", "2", "-1", "99", "NaN", "", "9" * 40])
KINDS = ["n", "s", "str", "inlineStr", "b", "e", "d", "?", ""]
words = either(
    [
        *("Imani", "Okonkwo-Reyes", "tomás@example.org", "3/4", "5.3.2014", "mother", "=1+1"),
        *("'", "''", "_x0000_", "_x000D_", "\u202e", "\ufffe", "é" * 41, "x" * 4001, "\t", "𝄞"),
        *("@SUM(A1)", "+351 21 555", "{{ 7 }}", "<script>", "&", "\x01", "Müller, Søren"),
    ]
)
heads = either(sorted({column[0] for column in HEADINGS.values()}))


def attribute(name: str, value: str) -> str:
    return f' {name}="{value}"' if value else ""


def escaped(text: str) -> str:
    return text.replace("&", "&amp;").replace("<", "&lt;").replace("\x01", "")


@st.composite
def cells(draw: st.DrawFn) -> str:
    kind = draw(either(KINDS))
    value = escaped(draw(st.one_of(numbers, days, words, indices)))
    inside = draw(
        either(
            [
                f"<v>{value}</v>",
                f"<is><t>{value}</t></is>",
                f"<is><r><t>{value}</t></r><r/><rPh><t>x</t></rPh></is>",
                f"<f>1+1</f><v>{value}</v>",
                f'<f t="shared" si="0"/><v>{value}</v>',
                f'<f t="array" ref="A1:XFD9">SUM(A:A)</f><v>{value}</v>',
                f'<f t="dataTable" ref="A1" r1="B1"/><v>{value}</v>',
                "<v>#REF!</v>",
                "<v>#DIV/0!</v>",
                "<v/>",
                "<is/>",
                "",
            ]
        )
    )
    style = draw(either(["", "0", "1", "2", "1", "99", "-1", "x"]))
    named = attribute("r", draw(places)) + attribute("t", kind) + attribute("s", style)
    return f"<c{named}>{inside}</c>"


GOOD = (
    '<row><c t="inlineStr"><is><t>First name</t></is></c><c t="s"><v>0</v></c></row>'
    '<row><c t="inlineStr"><is><t>Imani</t></is></c></row>'
)


@st.composite
def sheets(draw: st.DrawFn) -> str:
    named = "".join(
        f'<c t="inlineStr"><is><t>{draw(heads)}</t></is></c>'
        for _ in range(draw(st.integers(0, 6)))
    )
    rows = draw(either([f"<row>{named}</row>", GOOD, GOOD]))
    for _ in range(draw(st.integers(0, 5))):
        held = "".join(draw(st.lists(cells(), max_size=7)))
        rows += (
            f"<row{attribute('r', draw(rows_at))}>{held * draw(either([1] * 9 + [30, 3000]))}</row>"
        )
    begin = draw(
        either(["", '<dimension ref="A1:C3"/>', '<dimension ref="A1:XFD1048576"/>'] * 2)
        | st.builds('<dimension ref="{}"/>'.format, st.sampled_from(["", "x", "A1:", "B9:A1"]))
    )
    end = draw(
        either(
            [
                "",
                '<mergeCells><mergeCell ref="A1:C2"/><mergeCell ref="A1:XFD9"/></mergeCells>',
                '<mergeCells><mergeCell ref="nowhere"/></mergeCells>',
                "<sheetData><row><c><v>7</v></c></row></sheetData>",
                '<legacyDrawing r:id="rId9"/><hyperlinks><hyperlink r:id="x"/></hyperlinks>',
            ]
        )
    )
    data = draw(either([f"<sheetData>{rows}</sheetData>"] * 6 + ["<sheetData/>", "", rows]))
    return f'<worksheet xmlns="{MAIN}" xmlns:r="{OFFICE}">{begin}{data}{end}</worksheet>'


STRINGS = [
    "<si><t>First name</t></si><si><t>Imani</t></si>",
    "<si/><si><r><t>Ima</t></r><r><t>ni</t></r></si>",
    "<si><t/></si><si><rPh sb='0' eb='9'><t>x</t></rPh></si><t>lost</t>",
    "",
]
STYLES = [
    '<cellXfs><xf/><xf numFmtId="14"/><xf numFmtId="46"/></cellXfs>',
    '<numFmts><numFmt numFmtId="164" formatCode="[h]:mm;@&quot;"/></numFmts>'
    '<cellXfs><xf/><xf numFmtId="164"/><xf numFmtId="99999" fontId="7" xfId="5"/></cellXfs>',
    '<cellXfs count="9"/>',
    '<cellXfs><xf numFmtId="x"/></cellXfs>',
    "",
]
TARGETS = [
    *("worksheets/sheet1.xml", "worksheets/sheet2.xml", "/xl/worksheets/sheet1.xml", "../x.xml"),
    *("../../../etc/passwd", "http://example.org/a.xml", "sharedStrings.xml", "", "workbook.xml"),
]
DOCTYPES = [
    '<!DOCTYPE w [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;"><!ENTITY c "'
    '&b;&b;&b;&b;&b;&b;&b;&b;"><!ENTITY d "&c;&c;&c;&c;&c;&c;&c;&c;">]>',
    '<!DOCTYPE w [<!ENTITY a SYSTEM "file:///etc/passwd">]>',
    '<!DOCTYPE w [<!ENTITY % a SYSTEM "http://example.org/a.dtd"> %a;]>',
    '<!DOCTYPE w SYSTEM "http://example.org/a.dtd">',
    "<?xml-stylesheet href='http://example.org/a.xsl'?>",
]
FILLS = ["<c/>", "<row/>", "<si/>", "<xf/>", "<a>", "x", " ", "<!-- -->", '<sheet name="S"/>']


@st.composite
def relations(draw: st.DrawFn) -> str:
    """The usual ones, or any."""
    found = [("rId1", "worksheet", TARGETS[0]), ("rId2", "worksheet", TARGETS[1])]
    if draw(st.booleans()):
        kinds = either(["worksheet", "chartsheet", "sharedStrings", "styles", "externalLink"])
        ids = either(["rId1", "rId2", "rId3", ""])
        found = draw(st.lists(st.tuples(ids, kinds, either(TARGETS)), max_size=4))
    outside = draw(either(["", "", "", "External"]))
    held = "".join(
        f'<Relationship Id="{name}" Type="{OFFICE}/{kind}" Target="{target}"'
        f"{attribute('TargetMode', outside)}/>"
        for name, kind, target in found
    )
    return f'<Relationships xmlns="{PACKAGE}/relationships">{held}</Relationships>'


@st.composite
def books(draw: st.DrawFn) -> str:
    names = draw(st.lists(either(["List", "", "a/b", "x" * 99, "List"]), min_size=1, max_size=3))
    held = "".join(
        f'<sheet name="{name}" sheetId="{n}"{attribute("state", draw(either(["", "hidden", "x"])))}'
        f' r:id="rId{n}"/>'
        for n, name in enumerate(names, 1)
    )
    held *= draw(either([1] * 9 + [60]))
    more = draw(
        either(
            [
                "",
                '<workbookPr date1904="1"/>',
                '<definedNames><definedName name="x" localSheetId="7">A1</definedName>'
                "</definedNames>",
                '<bookViews><workbookView activeTab="99"/></bookViews>',
                '<pivotCaches><pivotCache cacheId="1" r:id="rId3"/></pivotCaches>',
            ]
        )
    )
    return f'<workbook xmlns="{MAIN}" xmlns:r="{OFFICE}">{more}<sheets>{held}</sheets></workbook>'


def typed_parts(draw: st.DrawFn) -> str:
    kinds = {"workbook": "sheet.main", "styles": "styles", "sharedStrings": "sharedStrings"}
    if draw(either([False, False, False, True])):
        kinds["workbook"] = draw(either(["template.main", "sheet", "x"]))
    held = "".join(
        f'<Override PartName="/xl/{name}.xml" ContentType="{KIND}.{kind}+xml"/>'
        for name, kind in kinds.items()
    )
    return f'<Types xmlns="{PACKAGE}/content-types">{held}</Types>'


@st.composite
def workbooks(draw: st.DrawFn) -> bytes:
    parts = {
        "[Content_Types].xml": typed_parts(draw),
        "_rels/.rels": f'<Relationships xmlns="{PACKAGE}/relationships"><Relationship Id="a" '
        f'Type="{OFFICE}/officeDocument" Target="xl/workbook.xml"/></Relationships>',
        "xl/workbook.xml": draw(books()),
        "xl/_rels/workbook.xml.rels": draw(relations()),
        "xl/worksheets/sheet1.xml": draw(sheets()),
        "xl/worksheets/sheet2.xml": draw(sheets()),
        "xl/sharedStrings.xml": f'<sst xmlns="{MAIN}" count="-1">{draw(either(STRINGS))}</sst>',
        "xl/styles.xml": f'<styleSheet xmlns="{MAIN}">{draw(either(STYLES))}</styleSheet>',
    }
    change = draw(either(["none"] * 6 + ["entity", "away", "fill", "byte", "utf-16", "renamed"]))
    name = draw(either(sorted(parts)))
    content = parts[name].encode()
    if change == "entity":
        content = (draw(either(DOCTYPES)) + parts[name].replace("<v>", "<v>&a;")).encode()
    elif change == "fill":
        close = parts[name].rindex("</")
        filled = draw(either(FILLS)) * draw(either([2000, 60_000, 600_000, 2_000_000]))
        content = (parts[name][:close] + filled + parts[name][close:]).encode()
    elif change == "byte":
        content = draw(either(CHANGES))(draw, content)
    elif change == "utf-16":
        content = f'<?xml version="1.0" encoding="utf-16"?>{parts[name]}'.encode("utf-16")
    packed = {each: text.encode() for each, text in parts.items()} | {name: content}
    if change == "away":
        del packed[name]
    elif change == "renamed":
        packed[draw(either(["xl/worksheets/sheet1", "../../x.xml", "xl\\a.xml", "/"]))] = (
            packed.pop(name)
        )
    return zipped(draw, packed)


def zipped(draw: st.DrawFn, parts: dict[str, bytes]) -> bytes:
    file = io.BytesIO()
    how = draw(either([zipfile.ZIP_DEFLATED] * 4 + [zipfile.ZIP_STORED, zipfile.ZIP_BZIP2]))
    with zipfile.ZipFile(file, "w", how) as archive:
        for name, content in parts.items():
            archive.writestr(name, content)
        odd = draw(either(["none"] * 7 + ["twice", "bomb", "many", "ods"]))
        if odd == "twice":
            name = draw(either(sorted(parts)))
            with pytest.warns(UserWarning, match="Duplicate name"):
                archive.writestr(name, parts[draw(either(sorted(parts)))])
        elif odd == "bomb":
            archive.writestr("xl/media/a.bin", b"\0" * draw(either([10**6, 19 * 10**6, 10**8])))
        elif odd == "many":
            for n in range(draw(either([400, 600]))):
                archive.writestr(f"x{n}.xml", b"<x/>")
        elif odd == "ods":
            archive.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
            archive.writestr("content.xml", parts.get("xl/worksheets/sheet1.xml", b""))
    content = file.getvalue()
    wrapped = draw(either(["none"] * 9 + ["locked", "CFB", "cut", "before"]))
    if wrapped == "locked":  # the flag that a part is encrypted (APPNOTE 4.4.4, bit 0)
        at = content.rindex(b"PK\x01\x02") + 8
        content = content[:at] + b"\x01" + content[at + 1 :]
    elif wrapped == "CFB":
        content = CFB + content
    elif wrapped == "cut":
        content = content[: draw(st.integers(1, len(content)))]
    elif wrapped == "before":
        content = b"PK\x03\x04" + content
    return content


@st.composite
def lists(draw: st.DrawFn) -> bytes:
    """A CSV whose headings are known and whose cells are odd."""
    file = io.StringIO()
    writer = csv.writer(
        file,
        delimiter=draw(either(",;\t|")),
        quoting=draw(either([csv.QUOTE_ALL, csv.QUOTE_MINIMAL])),
    )
    writer.writerow(draw(st.lists(heads, min_size=1, max_size=9)))
    cell = st.one_of(words, days, numbers, typed)
    writer.writerows(draw(st.lists(st.lists(cell, max_size=9), max_size=6)))
    encoding = draw(either(["utf-8", "utf-8-sig", "utf-16", "utf-32", "cp1252", "shift_jis"]))
    return file.getvalue().encode(encoding, errors="ignore")
