"""Printed sheets, read back with readers that know nothing of this program."""

import io
import re
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import page as pdf_ua
import pikepdf
import pypdf
import pytest

from practice.sheets.data import Paper, SheetData
from practice.sheets.render import SheetTooFull, sheet_html, sheet_pdf
from tests.practice.sheets.samples import (
    ALL_WORDS,
    FULL,
    PRE_READER,
    READER,
    SHEETS,
    TWO_SESSIONS,
)

OUR_FACES = {"Andika", "Alegreya", "Studio-Signs", "Noto-Naskh-Arabic", "Noto-Sans-Hebrew"}
POINTS = {Paper.A4: (595.28, 841.89), Paper.LETTER: (612.0, 792.0)}  # ISO 216, ANSI Y14.1
NAMES = [
    "Nguyễn Bảo Châu", "Łucja", "Şebnem", "Đức", "Joaquín", "Анна-Мария", "Әлия", "Θεοδώρα",
    "ליאם", "يوسف", "<b>Zoë & Co</b>", "Maximiliane-Anastasia", "Sean O’Brien",
]  # fmt: skip
each_sheet = pytest.mark.parametrize("name", SHEETS)


@cache
def printed(name: str) -> bytes:
    return sheet_pdf(SHEETS[name])


def reader(content: bytes) -> pypdf.PdfReader:
    return pypdf.PdfReader(io.BytesIO(content))


def text_of(content: bytes) -> str:
    return "\n".join(each.extract_text() for each in reader(content).pages)


def squeezed(text: str) -> str:
    """Without spaces and line ends, which readers of PDF put where they like."""
    return re.sub(r"[\s\u200b]", "", text)


def runs(content: bytes, number: int) -> list[tuple[float, float, str]]:
    """Each run of text on a page: left edge and height above the bottom, in points."""
    found: list[tuple[float, float, str]] = []

    def visit(text: str, cm: Any, tm: Any, font: Any, size: Any) -> None:
        if text.strip():
            x, y = tm[4] * cm[0] + cm[4], tm[5] * cm[3] + cm[5]
            found.append((x, y, text.strip()))

    reader(content).pages[number].extract_text(visitor_text=visit)
    return found


def structure(element: Any) -> Iterator[Any]:
    if isinstance(element, pikepdf.Array):
        for each in element:
            yield from structure(each)
    elif isinstance(element, pikepdf.Dictionary):
        yield element
        yield from structure(element.get("/K", pikepdf.Array()))


@each_sheet
def test_every_sheet_has_exactly_two_sides_of_its_paper(name: str) -> None:
    pages = reader(printed(name)).pages
    assert len(pages) == 2
    for each in pages:
        size = (float(each.mediabox.width), float(each.mediabox.height))
        assert size == pytest.approx(POINTS[SHEETS[name].paper], abs=0.5)


@each_sheet
def test_nothing_reaches_into_the_margins(name: str) -> None:
    width, height = POINTS[SHEETS[name].paper]
    for number in (0, 1):
        for x, y, text in runs(printed(name), number):
            assert 30 < x < width - 34, text
            assert 18 < y < height - 22, text


def minutes_of_items(name: str) -> list[tuple[float, int, bool]]:
    """Place across, minutes, and whether a ring to tick follows, for each item of each day."""
    found = runs(printed(name), 0)
    top = max(y for _, y, text in found if text == "○")
    foot = next(y for _, y, text in found if text.startswith("Minutes, all"))
    grid = [(x, text) for x, y, text in found if foot + 5 < y < top + 8]
    following = [text for _, text in grid[1:]] + [""]
    return [
        (x, int(text), after == "○")
        for (x, text), after in zip(grid, following, strict=True)
        if text.isdigit()
    ]


@each_sheet
def test_minutes_on_paper_add_up_to_each_day(name: str) -> None:
    # Gathered by their column: right-aligned, 52 pt wide.
    columns: dict[float, int] = {}
    for x, minutes, _ in minutes_of_items(name):
        column = next((each for each in columns if abs(each - x) < 25), x)
        columns[column] = columns.get(column, 0) + minutes
    planned = [total for total in SHEETS[name].totals if total]
    assert [columns[x] for x in sorted(columns)] == planned


@each_sheet
def test_every_item_has_a_ring_to_tick_and_explore_has_none(name: str) -> None:
    rows = [row for session in SHEETS[name].sessions for row in session.rows]
    owed = [minutes for row in rows if row.mark != "explore" for minutes in row.minutes if minutes]
    free = [minutes for row in rows if row.mark == "explore" for minutes in row.minutes if minutes]
    on_paper = minutes_of_items(name)
    assert sorted(minutes for _, minutes, ring in on_paper if ring) == sorted(owed)
    assert sorted(minutes for _, minutes, ring in on_paper if not ring) == sorted(free)


@each_sheet
def test_minutes_without_a_ring_stand_under_the_others(name: str) -> None:
    on_paper = minutes_of_items(name)
    ringed = {round(x) for x, minutes, ring in on_paper if ring and minutes < 10}
    for x, minutes, ring in on_paper:
        assert ring or minutes >= 10 or any(abs(x - each) <= 1 for each in ringed)


@each_sheet
def test_every_word_of_the_sheet_is_on_the_paper(name: str) -> None:
    data, text = SHEETS[name], squeezed(text_of(printed(name)))
    words = [data.student, data.span, data.short_span, *data.next_lesson]
    words += [part.strip() for part in re.split(r"[*]|\.\s", data.listen_for)]
    cards = [data.favourite, data.explore, data.etude, *data.also]
    words += [part for card in cards if card for part in (card.title, card.text)]
    words += [part for session in data.sessions for row in session.rows for part in (row.name,)]
    for piece in data.pieces:
        words += [piece.title, piece.composer]
        words += [part for spot in piece.spots for part in (spot.cue, spot.instruction, spot.bars)]
        words += ["".join(map(str, spot.pegs)) for spot in piece.spots]
    words += [part for each in data.exercises for part in (each.name, each.number, each.text)]
    details = [row.detail for session in data.sessions for row in session.rows]
    for word in [*words, *details]:
        assert squeezed(word) in text, word


@each_sheet
def test_the_caution_defers_to_doctor_physiotherapist_and_teacher(name: str) -> None:
    text = squeezed(text_of(printed(name)))
    assert squeezed("Does it hurt? Stop.") in text
    assert squeezed("tell Marisol, and ask a doctor or physiotherapist.") in text


@each_sheet
def test_pdf_ua_1_has_no_complaint(name: str, tmp_path: Path) -> None:
    # page-validation: 104 rules of ISO 14289-1 (PDF/UA-1), an independent implementation.
    path = tmp_path / "sheet.pdf"
    path.write_bytes(printed(name))
    checked = pdf_ua.validate_pdf(path, profile=pdf_ua.ValidationProfile.PDF_UA_1)
    assert checked.is_compliant, checked.failures


@each_sheet
def test_language_title_and_words_for_each_picture(name: str) -> None:
    data = SHEETS[name]
    with pikepdf.open(io.BytesIO(printed(name))) as pdf:
        assert str(pdf.Root.Lang) == "en"
        assert str(pdf.docinfo["/Title"]) == f"{data.student}’s week, {data.short_span}"
        figures = [
            each for each in structure(pdf.Root.StructTreeRoot.K) if each.get("/S") == "/Figure"
        ]
        staves = data.scale.staves if data.scale else ()
        spots = [spot for piece in data.pieces for spot in piece.spots if spot.picture]
        expected = [stave.picture.alt for stave in staves]
        expected += [spot.picture.alt for spot in spots if spot.picture]
        expected += [f"QR code: {code.address}" for code in data.codes]
        assert sorted(str(each["/Alt"]) for each in figures) == sorted(expected)


def faces(content: bytes) -> set[str]:
    """Families of all fonts; every one must be embedded."""
    found = set()
    with pikepdf.open(io.BytesIO(content)) as pdf:
        for each in pdf.objects:
            if isinstance(each, pikepdf.Dictionary) and each.get("/Type") == "/FontDescriptor":
                assert {"/FontFile", "/FontFile2", "/FontFile3"} & set(each.keys())
                name = str(each["/FontName"]).split("+")[-1]
                found.add(next((face for face in OUR_FACES if name.startswith(face)), name))
    return found


@each_sheet
def test_all_fonts_are_ours_and_embedded(name: str) -> None:
    assert {"Andika", "Alegreya", "Studio-Signs"} <= faces(printed(name)) <= OUR_FACES


def test_every_name_comes_out_right_in_our_faces() -> None:
    found: set[str] = set()
    for name in NAMES:
        content = sheet_pdf(replace(PRE_READER, student=name))
        found |= faces(content)
        front, back = (squeezed(page.extract_text()) for page in reader(content).pages)
        assert squeezed(name) in front
        assert squeezed(f"{name},26 Nov to 2 Dec") in back or name in {"ליאם", "يوسف"}
    assert found == OUR_FACES


@pytest.mark.parametrize(
    "student", ["A" * 300, "Mia " * 75, "🎻 Mia"], ids=["unbroken", "long", "emoji"]
)
def test_odd_names_stay_inside_the_page(student: str) -> None:
    content = sheet_pdf(replace(READER, student=student))
    assert len(reader(content).pages) == 2
    for x, _, text in runs(content, 0):
        assert 30 < x < POINTS[Paper.A4][0] - 34, text
    assert faces(content) <= OUR_FACES


def test_a_stored_sheet_prints_the_same_bytes_again() -> None:
    assert sheet_pdf(SheetData.from_json(READER.to_json())) == sheet_pdf(READER)


def test_words_that_no_side_can_hold_are_told() -> None:
    with pytest.raises(SheetTooFull, match="sheet of Imani does not fit .* 38400 letters"):
        sheet_pdf(replace(READER, listen_for=(ALL_WORDS * 500)[:38400]))


def test_names_are_escaped_and_nothing_comes_from_outside() -> None:
    html = sheet_html(replace(FULL, student="<script>Mia</script>"))
    assert "<script" not in html
    assert set(re.findall(r'src="([a-z]+):', html)) == {"studio"}


def test_a_sheet_without_optional_parts_prints() -> None:
    bare = SheetData("Mia", "Marisol", "one week", "one week", READER.days, TWO_SESSIONS)
    assert len(reader(sheet_pdf(bare)).pages) == 2
