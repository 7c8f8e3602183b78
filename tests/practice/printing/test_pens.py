"""Drawing for real, in processes of their own."""

from __future__ import annotations

import io
import os
import zipfile
from pathlib import Path
from typing import Any

import pypdf
import pytest

from practice.printing import pens as drawing
from practice.printing import store
from practice.printing.orders import BIND, Answer, Binding, Order, carried_out
from practice.printing.pens import Pen, Pens
from tests.practice.printing.material import NAMES
from tests.practice.reports.material import report_data

TOO_LONG = report_data(words=("word " * 4000)[:20_000])


def order(key: int, folder: Path, data: Any) -> Order:
    return Order(key, "reports", str(folder / f"{key}.pdf"), data)


def test_a_process_draws_names_what_it_cannot_and_binds_the_rest(tmp_path: Path) -> None:
    orders = [
        order(1, tmp_path, report_data(student=NAMES[0]).to_json()),
        order(2, tmp_path, TOO_LONG.to_json()),
        order(3, tmp_path, {"student": "nothing else"}),
        order(4, tmp_path, report_data(student=NAMES[2]).to_json()),
    ]
    with Pens(len(orders)) as pens:
        answers = {each.key: each.trouble for each in pens.draw(orders) if each}
        parts = [str(tmp_path / f"{key}.pdf") for key in (1, 4)]
        binding = Binding("Both", parts, ["01-imani.pdf", "02-łucja.pdf"])
        bound = [each for each in pens.draw([binding.order(tmp_path)]) if each]
    assert answers[1] == answers[4] == ""
    assert answers[2].startswith("The report of Imani does not fit on two pages")
    assert answers[3] == "The page could not be drawn (ValueError)."
    assert bound == [Answer(0)]
    reader = pypdf.PdfReader(tmp_path / store.PDF)
    assert [page.extract_text().split("’s term")[0] for page in reader.pages] == ["Imani", "Łucja"]
    folder = zipfile.ZipFile(io.BytesIO((tmp_path / store.ZIP).read_bytes()))
    assert folder.namelist() == ["01-imani.pdf", "02-łucja.pdf"]


def test_a_process_that_breaks_costs_one_page_and_is_started_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(drawing, "LONGEST_PAGE", 0.0)
    pen = Pen()
    data = report_data().to_json()
    assert pen.draw(order(1, tmp_path, data)).trouble.endswith("the drawing broke off.")
    monkeypatch.undo()
    assert pen.draw(order(2, tmp_path, data)) == Answer(2)
    pen.put_down()
    assert (tmp_path / "2.pdf").read_bytes().startswith(b"%PDF")


def test_a_folder_that_cannot_be_written_is_nobodys_page(tmp_path: Path) -> None:
    made = carried_out(order(1, tmp_path / "not there", report_data().to_json()))
    assert made == Answer(1, "The pages could not be kept: No such file or directory.", True)


def test_what_cannot_be_bound_is_told(tmp_path: Path) -> None:
    (tmp_path / "1.pdf").write_bytes(b"no PDF")
    binding = Binding("Broken", [str(tmp_path / "1.pdf")], ["01.pdf"])
    made = carried_out(binding.order(tmp_path))
    assert made.trouble == "The page could not be drawn (PdfError)."
    assert binding.order(tmp_path).kind == BIND


def test_no_process_is_left(tmp_path: Path) -> None:
    with Pens(1) as pens:
        (answer,) = [each for each in pens.draw([order(1, tmp_path, {})]) if each]
        process = pens._pens[0]._process
        assert process is not None
        os.kill(process.pid, 0)
    assert answer.trouble
    with pytest.raises(ProcessLookupError):
        os.kill(process.pid, 0)
