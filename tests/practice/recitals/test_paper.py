"""Programme and thanks on paper: PDF/UA-1, read back by two readers, first names only."""

from __future__ import annotations

import io
import re
import shutil
import subprocess
from pathlib import Path

import page as pdf_ua
import pikepdf
import pypdf
import pytest

from practice.models import Performance, Programme, Thanks
from practice.recitals.order import put_interval
from practice.recitals.printing import programme_pdf, thanks_pdf
from practice.recitals.thanking import keep, thanked
from studio.models import Student
from tests import factories

LONG = "Maximiliana-Theodora Anastasia Konstantinopoulou of the Two Rivers and Three Bridges"


def squeezed(text: str) -> str:
    return re.sub(r"[\s​]+", "", text)


def by_pypdf(pdf: bytes) -> str:
    return squeezed("".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pdf)).pages))


def pdftotext(pdf: bytes, folder: Path, option: str) -> str:
    tool = shutil.which("pdftotext")
    if tool is None:
        pytest.skip("pdftotext is not there: sudo apt install poppler-utils")
    path = folder / "read.pdf"
    path.write_bytes(pdf)
    done = subprocess.run([tool, option, str(path), "-"], capture_output=True, check=True)
    return done.stdout.decode()


def by_poppler(pdf: bytes, folder: Path) -> str:
    """By poppler's pdftotext, the reader of another library."""
    return squeezed(pdftotext(pdf, folder, "-raw"))


def edges(pdf: bytes, folder: Path) -> tuple[float, float]:
    """How far from the left and from the right of its page the outermost word is, in mm."""
    page = pdftotext(pdf, folder, "-bbox")
    width = min(map(float, re.findall(r'<page width="([\d.]+)"', page)))
    words = [(float(x), float(y)) for x, y in re.findall(r'xMin="(\S+)".*? xMax="(\S+)"', page)]
    left, right = min(x for x, _ in words), max(x for _, x in words)
    return left * 25.4 / 72, (width - right) * 25.4 / 72


def assert_pdf_ua(pdf: bytes, folder: Path) -> None:
    path = folder / "checked.pdf"
    path.write_bytes(pdf)
    # page-validation: ISO 14289-1 (PDF/UA-1), an independent implementation.
    checked = pdf_ua.validate_pdf(path, profile=pdf_ua.ValidationProfile.PDF_UA_1)
    assert checked.is_compliant, checked.failures


def many(programme: Programme, count: int, name: str = "", by: str = "Antonio Vivaldi") -> None:
    work = factories.WorkFactory.create(title="Concerto no. 11, 3rd movement", composer=by)
    for number in range(count):
        student = factories.StudentFactory.create(
            family__studio=programme.recital.studio, given_name=name or f"Nia{number}Z"
        )
        factories.PerformanceFactory.create(
            programme=programme, student=student, work=work, place=number + 10
        )


def test_what_the_programme_says_in_its_order(
    three: Programme, aroha: Student, zola: Student, tmp_path: Path
) -> None:
    three.accompanist = "Oisín"
    put_interval(three, 2)
    Performance.objects.filter(student=aroha).update(partner=zola)
    pdf = programme_pdf(three)
    assert_pdf_ua(pdf, tmp_path)
    for text in (by_pypdf(pdf), by_poppler(pdf, tmp_path)):
        parts = [
            *("Winter recital", "Saturday 5 December 2026, 15:00", "Town library, small hall"),
            *("Minuet in G", "Christian Petzold", "Imani", "Ode to Joy", "Zola"),
            *("Interval", "15 minutes", "Gavotte", "Aroha and Zola", "At the piano: Oisín"),
        ]
        places = [text.find(squeezed(part)) for part in parts]
        assert -1 not in places, dict(zip(parts, places, strict=True))
        assert places == sorted(places)
        for secret in ("Okonkwo", "Ngata", "2019"):
            assert secret not in text


@pytest.mark.parametrize(("paper", "size"), [("A4", [210, 297]), ("Letter", [216, 279])])
@pytest.mark.parametrize(("count", "pages"), [(0, 1), (17, 1), (57, 2)])
def test_it_fits_one_page_as_long_as_it_can_be_read(
    three: Programme, paper: str, size: list[int], count: int, pages: int, tmp_path: Path
) -> None:
    three.recital.studio.paper = paper
    many(three, count)
    pdf = programme_pdf(three)
    read = pypdf.PdfReader(io.BytesIO(pdf))
    assert len(read.pages) <= pages
    assert [round(float(side) * 25.4 / 72) for side in read.pages[0].mediabox[2:]] == size
    text = by_pypdf(pdf)
    assert all(f"Nia{number}Z" in text for number in range(count))
    assert_pdf_ua(pdf, tmp_path)


def test_names_and_titles_that_do_not_fit_are_whole_and_inside_the_paper(
    three: Programme, tmp_path: Path
) -> None:
    many(three, 3, name=LONG[:80], by=LONG)
    three.recital.name = "R" * 80
    pdf = programme_pdf(three)
    assert_pdf_ua(pdf, tmp_path)
    assert by_pypdf(pdf).count(squeezed(LONG[:80])) >= 3
    assert "R" * 80 in by_pypdf(pdf)
    assert min(edges(pdf, tmp_path)) > 23.9  # the margin of A4 is 24 mm


def test_two_of_one_first_name_have_their_initial(three: Programme) -> None:
    namesake = factories.StudentFactory.create(
        family__studio=three.recital.studio, given_name="Imani", family_name="Brandão"
    )
    factories.PerformanceFactory.create(programme=three, student=namesake, place=9)
    text = by_pypdf(programme_pdf(three))
    assert "ImaniO." in text
    assert "ImaniB." in text
    assert "Brandão" not in text


def test_the_file_says_its_title_and_language(three: Programme) -> None:
    with pikepdf.open(io.BytesIO(programme_pdf(three))) as pdf:
        assert str(pdf.docinfo["/Title"]) == "Winter recital, 5 December 2026"
        assert str(pdf.Root.Lang) == three.recital.studio.locale


def test_the_same_programme_prints_the_same(three: Programme) -> None:
    assert programme_pdf(three) == programme_pdf(three)


def test_a_page_of_thanks_for_everybody_with_her_words_and_the_name_in_them(
    three: Programme, zola: Student, student: Student, tmp_path: Path
) -> None:
    keep(three, "Dear [name], <b>thank</b> you.\nIt rang.", {zola.pk: "Zola, you smiled.", 0: ""})
    pdf = thanks_pdf(three, thanked(three))
    assert_pdf_ua(pdf, tmp_path)
    read = pypdf.PdfReader(io.BytesIO(pdf))
    assert len(read.pages) == 3
    imani, sister, _ = (squeezed(page.extract_text()) for page in read.pages)
    for words in ("Thank you, Imani", "Minuet in G by Christian Petzold", "5 December 2026"):
        assert squeezed(words) in imani
    assert squeezed("Dear Imani, <b>thank</b> you.It rang.") in imani
    assert squeezed("Zola, you smiled.") in sister
    assert "DearZola" not in sister
    assert "Okonkwo" not in imani + sister
    poppler = by_poppler(pdf, tmp_path)
    assert squeezed("Dear Imani, <b>thank</b> you.") in poppler
    for reward in ("certificate", "award", "prize", "best", "place"):
        assert reward not in poppler.lower()


def test_two_thousand_characters_stay_on_their_page(three: Programme, tmp_path: Path) -> None:
    words = ("She listens, and the hall listens with her. " * 46)[:2000]
    keep(three, words, {})
    pdf = thanks_pdf(three, thanked(three))
    assert len(pypdf.PdfReader(io.BytesIO(pdf)).pages) == 3
    assert_pdf_ua(pdf, tmp_path)


def test_words_for_one_that_are_taken_back_give_those_for_all(
    three: Programme, zola: Student
) -> None:
    keep(three, "Thank you, [name].", {zola.pk: "You smiled."})
    keep(three, "Thank you, [name].", {zola.pk: ""})
    assert not Thanks.objects.exists()
    assert {each.words for each in thanked(three)} == {
        f"Thank you, {name}." for name in ("Imani", "Zola", "Aroha")
    }


def test_what_nobody_composed_is_by_nobody(three: Programme) -> None:
    each = three.performances.select_related("work").order_by("place")[0]
    each.work.composer = "Traditional"
    each.work.save()
    assert thanked(three)[0].works == ("Minuet in G",)
