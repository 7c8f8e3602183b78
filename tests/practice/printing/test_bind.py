"""Many PDFs bound into one: every page once, every tag in its place."""

from __future__ import annotations

import io
import zipfile
from pathlib import Path

import page as pdf_ua
import pikepdf
import pypdf
import pytest
from pypdf.generic import Destination

from practice.printing.bind import bound, packed
from practice.reports.render import report_pdf
from practice.sheets.render import sheet_pdf
from tests.practice.printing.material import NAMES
from tests.practice.reports.material import report_data
from tests.practice.sheets.samples import PRE_READER, READER


@pytest.fixture(scope="module")
def parts(tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    """Three reports and two sheets, whose tables name their heads."""
    folder = tmp_path_factory.mktemp("parts")
    made = [report_pdf(report_data(student=name)) for name in NAMES]
    made += [sheet_pdf(READER), sheet_pdf(PRE_READER)]
    paths = [folder / f"{number}.pdf" for number in range(len(made))]
    for path, body in zip(paths, made, strict=True):
        path.write_bytes(body)
    return paths


@pytest.fixture(scope="module")
def whole(parts: list[Path]) -> bytes:
    return bound(parts, "Everything of autumn")


def test_every_page_stands_once_and_in_order(parts: list[Path], whole: bytes) -> None:
    singles = [page for path in parts for page in pypdf.PdfReader(path).pages]
    together = pypdf.PdfReader(io.BytesIO(whole)).pages
    assert len(together) == len(singles) == 7
    for one, other in zip(singles, together, strict=True):
        assert one.extract_text() == other.extract_text()


def test_pdf_ua_1_has_no_complaint(whole: bytes, tmp_path: Path) -> None:
    path = tmp_path / "whole.pdf"
    path.write_bytes(whole)
    # page-validation: 104 rules of ISO 14289-1 (PDF/UA-1), an independent implementation.
    checked = pdf_ua.validate_pdf(path, profile=pdf_ua.ValidationProfile.PDF_UA_1)
    assert checked.is_compliant, checked.failures


def tags(tag: pikepdf.Object) -> list[pikepdf.Dictionary]:
    if not isinstance(tag, pikepdf.Dictionary) or tag.get("/Type") != "/StructElem":
        return []
    return [tag, *(inner for each in tag.get("/K", []) for inner in tags(each))]


def test_each_tag_finds_its_own_page_and_each_cell_its_heads(
    parts: list[Path], whole: bytes
) -> None:
    with pikepdf.open(io.BytesIO(whole)) as pdf:
        numbers = {page.obj.objgen: number for number, page in enumerate(pdf.pages)}
        assert [int(page.obj.StructParents) for page in pdf.pages] == list(range(7))
        (document,) = pdf.Root.StructTreeRoot.K
        own = [[tag for tag in tags(each) if "/Pg" in tag] for each in document.K]
        pages = [{numbers[tag.Pg.objgen] for tag in inside} for inside in own]
        assert pages == [{0}, {1}, {2}, {3}, {4}, {5}, {6}]
        every = tags(document)
        heads = [str(tag.ID) for tag in every if "/ID" in tag]
        cells = [tag for tag in every if "/A" in tag and "/Headers" in tag.A]
        wanted = {str(head) for cell in cells for head in cell.A.Headers}
        assert len(heads) == len(set(heads))
        assert wanted
        assert wanted <= set(heads)
        nums = pdf.Root.StructTreeRoot.ParentTree.Nums
        assert [int(nums[at]) for at in range(0, len(nums), 2)] == list(range(7))
        for at in range(1, len(nums), 2):
            inside = {numbers[tag.Pg.objgen] for tag in nums[at]}
            assert inside == {at // 2}


def test_language_title_and_a_bookmark_for_each(whole: bytes) -> None:
    with pikepdf.open(io.BytesIO(whole)) as pdf:
        assert str(pdf.Root.Lang) == "en"
        assert str(pdf.docinfo["/Title"]) == "Everything of autumn"
        assert pdf.Root.ViewerPreferences.DisplayDocTitle
    reader = pypdf.PdfReader(io.BytesIO(whole))
    titles = [str(each.title) for each in reader.outline if isinstance(each, Destination)]
    assert [title.split("’s ")[0] for title in titles[:3]] == list(NAMES)
    assert len(titles) == 5


def test_the_same_parts_give_the_same_file(parts: list[Path], whole: bytes) -> None:
    assert bound(parts, "Everything of autumn") == whole


def test_single_files_under_their_names(parts: list[Path]) -> None:
    names = ["01-imani.pdf", "02-bảo.pdf"]
    made = packed(list(zip(names, parts[:2], strict=True)))
    folder = zipfile.ZipFile(io.BytesIO(made))
    assert folder.namelist() == names
    assert folder.testzip() is None
    assert folder.read(names[1]) == parts[1].read_bytes()
