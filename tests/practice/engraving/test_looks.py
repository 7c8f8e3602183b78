"""The picture as it is seen: by Chromium in an `<img>`, and on paper by another PDF reader."""

import base64
import io
import shutil
import subprocess
from pathlib import Path

import pytest
from PIL import Image
from playwright.sync_api import Browser, Error

from practice.engraving.engrave import INK_DARK, PAPER, Engraving, Layout, engrave
from practice.music.keys import parse_key
from practice.music.staves import scale_staff

DPI = 192
PX = DPI / 25.4


def html(engraving: Engraving, back: str = "#fff") -> str:
    source = base64.b64encode(engraving.svg.encode()).decode()
    size = f"width:{engraving.width_mm}mm;height:{engraving.height_mm}mm;display:block"
    return (
        "<!doctype html><html lang=en><title>x</title><style>@page{size:190mm 60mm;margin:0}"
        f"html{{background:{back}}}body{{margin:0}}</style>"
        f'<img alt="" style="{size}" src="data:image/svg+xml;base64,{source}">'
    )


def on_screen(browser: Browser, engraving: Engraving, back: str = "#fff") -> Image.Image:
    page = browser.new_page(viewport={"width": 720, "height": 230}, device_scale_factor=2)
    page.set_content(html(engraving, back))
    try:
        shot = page.screenshot()
    except Error:  # a busy Chromium has no picture at times; a second refusal counts
        page.wait_for_timeout(1000)
        shot = page.screenshot()
    page.close()
    return Image.open(io.BytesIO(shot)).convert("L")


def on_paper(engraving: Engraving, folder: Path) -> Image.Image:
    if not shutil.which("pdftoppm"):
        pytest.skip("pdftoppm is missing: sudo apt install poppler-utils")
    from weasyprint import HTML

    HTML(string=html(engraving)).write_pdf(folder / "x.pdf")
    command = ["pdftoppm", "-r", str(DPI), "-png", "-singlefile", "x.pdf", "x"]
    subprocess.run(command, cwd=folder, check=True)
    return Image.open(folder / "x.png").convert("L")


def ink(picture: Image.Image, box: tuple[float, float, float, float]) -> float:
    """Share of dark pixels in a box of millimetres: left, top, right, bottom."""
    part = picture.crop(tuple(round(edge * PX) for edge in box))  # type: ignore[arg-type]
    histogram = part.histogram()
    return sum(histogram[:128]) / sum(histogram)


def lines(picture: Image.Image, x_mm: float) -> int:
    """Dark lines crossed on the way down at one place."""
    column = picture.crop((round(x_mm * PX), 0, round(x_mm * PX) + 1, picture.height))
    dark = [value < 160 for value in column.tobytes()]
    return sum(here and not before for before, here in zip([False, *dark], dark, strict=False))


@pytest.fixture(scope="module")
def scale() -> Engraving:
    return engrave(scale_staff(parse_key("G major")).mei, PAPER)


def test_screen_and_paper_show_the_same_ink(
    browser: Browser, scale: Engraving, tmp_path: Path
) -> None:
    whole = (0, 0, 186, scale.height_mm)
    screen, paper = on_screen(browser, scale), on_paper(scale, tmp_path)
    assert 0.02 < ink(screen, whole) < 0.15
    assert ink(paper, whole) == pytest.approx(ink(screen, whole), rel=0.25)


def test_five_lines_fingers_and_string_names_are_seen(
    browser: Browser, scale: Engraving, tmp_path: Path
) -> None:
    last = scale.heads[-1]
    between = (last.x + 1) / 2 * 186  # after the last note, before the double bar
    first = scale.heads[0]
    x, y = first.x * 186, first.y * scale.height_mm
    for picture in (on_screen(browser, scale), on_paper(scale, tmp_path)):
        assert lines(picture, between) == 5
        assert ink(picture, (x - 1.5, 0, x + 1.5, 5)) > 0.05  # the finger, above the staff
        assert ink(picture, (x - 1, y - 1, x + 1, y + 1)) > 0.5  # the head
        assert ink(picture, (x - 1, y + 2, x + 12, scale.height_mm)) > 0.02  # "G string"


def test_dark_ink_is_light_on_a_dark_page(browser: Browser) -> None:
    engraving = engrave(scale_staff(parse_key("G major")).mei, Layout(ink=INK_DARK))
    picture = on_screen(browser, engraving, "#17120E")
    assert ink(picture, (0, 0, 186, engraving.height_mm)) > 0.85
    assert max(picture.tobytes()) > 220
