"""The report on paper, read back by two readers and checked against PDF/UA-1."""

from __future__ import annotations

import datetime as dt
import io
import re
from dataclasses import replace
from pathlib import Path

import page as pdf_ua
import pikepdf
import pypdf
import pytest

from practice.figures.key_circle import KeyHeld, Known
from practice.figures.lesson_fates import LessonFate
from practice.figures.tempo_lines import TempoLine, WeekTempo
from practice.figures.term_weeks import Off, WeekMinutes
from practice.reports.data import PieceFinished, ReportData
from practice.reports.pictures import pictures_of
from practice.reports.render import ReportTooLong, report_pdf
from tests.practice.recitals.test_paper import by_poppler, by_pypdf
from tests.practice.reports.material import ENDS, MONDAYS, WEEKS, report_data
from tests.studio.test_tokens import AA_PARTS, AA_TEXT, contrast

SENTENCE = "Her bow arm is long now, and the sound has a floor under it, all term. "
LONG_NAME = "Maximiliana-Theodora Anastasia Konstantinopoulou-Vandenbroucke of the Two Rivers"


def paragraphs(letters: int) -> str:
    return "\n".join([SENTENCE * 6] * (letters // (6 * len(SENTENCE))))


FULL = report_data(
    tempos=tuple(
        TempoLine(
            f"Piece {n} with a long title of its own", "bars 10 to 12", 92, (WeekTempo(n, 60),)
        )
        for n in range(1, 9)
    ),
    finished=tuple(PieceFinished(f"Sonata {n}, 2nd movement (Allegro)", ENDS) for n in range(9)),
    lessons=(LessonFate.KEPT,) * 30,
    keys=tuple(KeyHeld(n, m, "C♯", Known.LEARNT) for n in range(-5, 7) for m in (False, True)),
)
EMPTY = report_data(lessons=(), keys=(), tempos=(), finished=(), in_hand=(), scale="", words="")
REPORTS = {
    "usual": report_data(),
    "letter": report_data(paper="Letter"),
    "draft": report_data(given=None),
    "empty": EMPTY,
    "full": FULL,
    "joined in the last week": report_data(
        weeks=(
            *(replace(week, planned=0, played=(0,) * 6, off=Off.BEFORE) for week in WEEKS[:-1]),
            WEEKS[-1],
        ),
        lessons=(LessonFate.KEPT,),
        tempos=(),
        finished=(),
    ),
    "name": report_data(student=LONG_NAME, teacher=LONG_NAME),
    "right to left": report_data(student="نور", words="نور تسمع."),
}
each_report = pytest.mark.parametrize("data", REPORTS.values(), ids=REPORTS)


def text_of(pdf: bytes) -> str:
    reader = pypdf.PdfReader(io.BytesIO(pdf))
    return " ".join(" ".join(page.extract_text() for page in reader.pages).split())


def squeezed(text: str) -> str:
    return re.sub(r"[\s​]+", "", text)


@each_report
def test_one_page_that_pdf_ua_1_has_no_complaint_about(data: ReportData, tmp_path: Path) -> None:
    made = report_pdf(data)
    path = tmp_path / "report.pdf"
    path.write_bytes(made)
    # page-validation: 104 rules of ISO 14289-1 (PDF/UA-1), an independent implementation.
    checked = pdf_ua.validate_pdf(path, profile=pdf_ua.ValidationProfile.PDF_UA_1)
    assert checked.is_compliant, checked.failures
    pages = pypdf.PdfReader(path).pages
    assert len(pages) <= (2 if data is FULL else 1)
    millimetres = [round(float(side) * 25.4 / 72) for side in pages[0].mediabox[2:]]
    assert millimetres == ([216, 279] if data.paper == "Letter" else [210, 297])


@pytest.mark.parametrize("reader", ["pypdf", "poppler"])
def test_what_the_report_says_stands_on_the_paper(reader: str, tmp_path: Path) -> None:
    made = report_pdf(report_data())
    text = by_pypdf(made) if reader == "pypdf" else by_poppler(made, tmp_path)
    for words in (
        "Imani’s term",
        "14 September to 11 December 2026",
        "leaves the term",
        "10 kept, 1 made up, 1 missed",
        "25 h 36 min of 29 h planned",
        "Ode to Joy 2 Oct",
        "Learnt: G major, E minor. Now: C major",
        "the battle of November, and she won it.",
        "Wednesday 6 January, 16:15",
    ):
        assert squeezed(words) in squeezed(text), words


def test_her_words_come_before_the_figures_and_are_the_largest() -> None:
    sizes: dict[str, float] = {}

    def look(text: str, _: object, matrix: list[float], font: object, size: float) -> None:
        for word in ("battle", "planned", "goal"):
            if word in text:
                sizes.setdefault(word, size * matrix[3])

    reader = pypdf.PdfReader(io.BytesIO(report_pdf(report_data())))
    reader.pages[0].extract_text(visitor_text=look)
    assert abs(sizes["battle"]) > abs(sizes["planned"])


def test_each_picture_says_in_words_what_it_shows() -> None:
    data = report_data()
    pictures = pictures_of(data)
    drawn = [pictures.lessons, pictures.minutes, pictures.circle, pictures.tempos]
    with pikepdf.open(io.BytesIO(report_pdf(data))) as pdf:
        assert str(pdf.Root.Lang) == "en"
        assert str(pdf.docinfo["/Title"]) == "Imani’s term, Autumn term 2026"
        found = {
            str(each["/Alt"])
            for each in pdf.objects
            if isinstance(each, pikepdf.Dictionary) and each.get("/S") == "/Figure"
        }
    assert found == {chart.words for chart in drawn if chart}
    assert "week 8, closed" in " ".join(found)
    assert "week 1, 128 of 145" in " ".join(found)


def test_inks_on_white_paper_keep_wcag_contrast() -> None:
    """By the formula that gives the published ratios of the ACT rule (tests of the tokens)."""
    css = (Path(__file__).parents[3] / "static/css/report_print.css").read_text("utf-8")
    inks = set(re.findall(r"[^-]color: (#[0-9A-F]{6})", css))
    pictures = pictures_of(report_data())
    drawn = [pictures.lessons, pictures.minutes, pictures.circle, pictures.tempos]
    svg = "".join(chart.svg for chart in drawn if chart)
    for text in re.findall(r"<text[^>]*>", svg):
        colour = re.search(r'fill="(#[0-9A-F]{6})"', text)
        assert colour, text
        if "on-ink" in text:
            assert contrast(colour[1], "#201A15") >= AA_TEXT
        else:
            inks.add(colour[1])
    assert len(inks) >= 3
    assert [ink for ink in inks if contrast(ink, "#FFFFFF") < AA_TEXT] == []
    strokes = set(re.findall(r'stroke="(#[0-9A-F]{6})"', svg))
    assert [line for line in strokes if contrast(line, "#FFFFFF") < AA_PARTS] == []


def test_no_chart_has_style_or_script() -> None:
    pictures = pictures_of(report_data())
    drawn = [pictures.lessons, pictures.minutes, pictures.circle, pictures.tempos]
    for svg in (*(chart.svg for chart in drawn if chart), *(svg for _, svg in pictures.legend)):
        assert not re.search(r"<style|<script|\bstyle=|\bon\w+=", svg)


def test_nothing_is_told_by_colour_alone() -> None:
    """Without its colours every chart still has as many different shapes."""
    pictures = pictures_of(report_data())
    assert pictures.minutes is not None
    assert len({re.sub(r"#[0-9A-F]{6}", "", svg) for _, svg in pictures.legend}) >= 5
    # White and solid grounds differ in lightness: ink and accent against paper.
    grounds = {re.findall(r'fill="(#[0-9A-F]{6})"', svg)[0] for _, svg in pictures.legend}
    assert grounds == {"#FFFFFF", "#201A15", "#8C3411"}


@pytest.mark.parametrize("letters", [1500, 3000, 5500])
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_many_words_take_two_pages_and_none_is_lost(letters: int, paper: str) -> None:
    words = paragraphs(letters) + "\nThe very last word."
    pdf = report_pdf(report_data(words=words, paper=paper))
    assert len(pypdf.PdfReader(io.BytesIO(pdf)).pages) <= 2
    text = squeezed(text_of(pdf)).replace("-", "")
    assert text.count(squeezed(SENTENCE).replace("-", "")[:20]) == words.count(SENTENCE)
    assert "Theverylastword." in text


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("letters", [0, 900, 6000])
def test_whatever_the_term_held_two_pages_are_enough(paper: str, letters: int) -> None:
    """The longest of everything the database takes, in a term of sixty weeks."""
    title = ("Concerto in the style of somebody, 2nd movement " * 5)[:200]
    weeks = tuple(
        WeekMinutes(
            n + 1,
            MONDAYS[0] + dt.timedelta(weeks=n),
            MONDAYS[0] + dt.timedelta(weeks=n, days=6),
            4200,
            (700,) * 6,
        )
        for n in range(60)
    )
    data = report_data(
        student=LONG_NAME,
        teacher=LONG_NAME,
        term="Term " * 16,
        weeks=weeks,
        lessons=(LessonFate.KEPT,) * 118 + (LessonFate.MISSED, LessonFate.OWED),
        finished=tuple(PieceFinished(title, ENDS) for _ in range(40)),
        in_hand=(title, title),
        tempos=tuple(
            TempoLine(title, "bars 100 to 200", 208, (WeekTempo(n, 60),)) for n in range(1, 61)
        ),
        keys=FULL.keys,
        paper=paper,
        words=paragraphs(letters),
    )
    try:
        made = report_pdf(data)
    except ReportTooLong:
        assert letters == 6000
        return
    assert len(pypdf.PdfReader(io.BytesIO(made)).pages) <= 2


def test_twenty_thousand_characters_are_refused_in_words() -> None:
    words = ("word " * 4000)[:20_000]
    with pytest.raises(ReportTooLong, match="Imani does not fit on two pages"):
        report_pdf(report_data(words=words))


def test_a_word_without_end_leaves_the_paper_whole() -> None:
    pdf = report_pdf(report_data(words="A" * 600))
    assert text_of(pdf).replace(" ", "").count("A" * 20) > 10


def test_a_correction_says_so_and_a_draft_too() -> None:
    second = text_of(report_pdf(report_data(edition=2, replaces=ENDS)))
    assert "Edition 2, 11 December 2026. It corrects the report of 11 December 2026." in second
    assert "Draft, not given yet." in text_of(report_pdf(report_data(given=None)))
    assert "Edition" not in text_of(report_pdf(report_data()))


def test_tags_in_words_are_words() -> None:
    assert "<b>&amp;</b>" in text_of(report_pdf(report_data(words="Say <b>&amp;</b> twice.")))


def test_the_same_report_prints_the_same() -> None:
    assert report_pdf(report_data()) == report_pdf(report_data())
