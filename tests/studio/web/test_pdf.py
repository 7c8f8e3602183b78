import importlib.abc
import sys
import threading
from collections.abc import Sequence
from importlib.machinery import ModuleSpec
from types import ModuleType

import pytest

from studio.web import pdf

PAGE = '<!doctype html><html lang="en"><head><title>One</title></head><body><p>{}</p></body></html>'


@pytest.mark.parametrize(
    "address",
    [
        "http://example.org/a.png",
        "https://example.org/a.png",
        "file:///etc/hostname",
        "studio:font/../../settings",
        "studio:picture/../1",
        "studio:mark/",
        "data:image/svg+xml,<svg/>",
    ],
)
def test_nothing_but_our_own_things_is_loaded(address: str) -> None:
    with pytest.raises(ValueError, match="may not load"):
        pdf.own_thing(address, {})


def test_a_picture_that_was_not_given_stops_the_printing() -> None:
    with pytest.raises(ValueError, match="There is no picture called 'gone'"):
        pdf.own_thing("studio:picture/gone", {"here": "<svg/>"})
    with pytest.raises(pdf.PictureMissing, match="studio:picture/gone"):
        pdf.pdf(PAGE.format('<img src="studio:picture/gone" alt="x">'), ("sheet.css",))


def test_marks_are_printed_in_ink() -> None:
    body, kind = pdf.own_thing("studio:mark/scale", {})
    assert kind == "image/svg+xml"
    assert b"currentColor" not in body
    assert pdf.PAPER_INK.encode() in body


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("Imani 12 Oct to 18 Oct", 'inline; filename="imani-12-oct-to-18-oct.pdf"'),
        ("Bảo", "inline; filename*=utf-8''b%E1%BA%A3o.pdf"),
        ("♪", 'inline; filename="pages.pdf"'),
    ],
)
def test_an_answer_is_opened_under_a_name_that_can_be_kept(name: str, said: str) -> None:
    answer = pdf.pdf_answer(b"%PDF", name)
    assert answer["Content-Disposition"] == said
    assert (answer["Content-Type"], answer.content) == ("application/pdf", b"%PDF")


def test_a_document_is_a_tagged_pdf_and_the_same_each_time() -> None:
    first, second = (pdf.pdf(PAGE.format("Đức"), ("sheet.css",)) for _ in range(2))
    assert first.startswith(b"%PDF-1.7")
    assert first == second


def test_several_threads_print_one_after_the_other() -> None:
    # One font configuration used by two threads at once hangs for good in Pango.
    made: list[bytes] = []
    threads = [
        threading.Thread(target=lambda: made.append(pdf.pdf(PAGE.format("One"), ("sheet.css",))))
        for _ in range(4)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(timeout=30)
    assert len(made) == 4
    assert len(set(made)) == 1


class WithoutPango(importlib.abc.MetaPathFinder):
    def find_spec(
        self, name: str, path: Sequence[str] | None, target: ModuleType | None = None
    ) -> ModuleSpec | None:
        if name == "weasyprint":
            raise OSError("cannot load library 'libpango-1.0-0'")
        return None


def test_without_pango_a_sentence_says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delitem(sys.modules, "weasyprint", raising=False)
    monkeypatch.setattr(sys, "meta_path", [WithoutPango(), *sys.meta_path])
    with pytest.raises(pdf.PrintingMissing, match=r"apt install libpango.*brew install pango"):
        pdf.pdf(PAGE.format("One"), ("sheet.css",))
