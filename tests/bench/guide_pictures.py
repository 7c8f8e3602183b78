"""Take the pictures of the first hour anew, from the example and from an empty installation.

    python -m tests.bench.guide_pictures    needs Chromium, pdftoppm (poppler-utils) and port 8000

Look at them afterwards, and put the heights into the page where they changed; a test compares.
"""

from __future__ import annotations

import io
import re
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from PIL import Image
from playwright.sync_api import Browser, Page, sync_playwright

from studio.running.bootstrap import BASE
from studio.running.checks import clean_environment
from tests.bench.kill_server import SERVE

PICTURES = BASE / "static" / "pictures"
FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-background-networking"]
WINDOW, WHOLE = 1100, 1280  # as wide as most pages like it, and as the Bench needs it; CSS pixels
WIDTH, SHEET = 880, (620, 877)
COLOURS = 128
CHILD, FAMILY, ON_PAPER = "Ayomide", "Anahit", "Tadhg"


@contextmanager
def opened(folder: Path, *more: str) -> Iterator[str]:
    """A studio being served; the first address it tells, which signs in where it is an example."""
    command = [sys.executable, "-c", SERVE, "open", *more]
    environment = clean_environment(str(folder))
    server = subprocess.Popen(command, cwd=BASE, env=environment, stdout=subprocess.PIPE, text=True)
    assert server.stdout
    said = ""
    try:
        for line in server.stdout:
            said += line
            if "closes it" in line:
                break
        yield re.findall(r"http://\S+", said)[0]
    finally:
        server.terminate()
        server.wait()


def keep(picture: Image.Image, name: str, size: tuple[int, int]) -> None:
    small = picture.convert("RGB").resize(size, Image.Resampling.LANCZOS)
    small.quantize(COLOURS).save(PICTURES / f"{name}.png", optimize=True)


def take(page: Page, name: str, height: int, *, window: int = WINDOW, end: bool = False) -> None:
    """What a window shows of the page's beginning or end, brought to the width of the guide."""
    page.set_viewport_size({"width": window, "height": round(height * window / WIDTH)})
    page.wait_for_load_state("networkidle")
    if end:
        page.evaluate("scrollTo(0, document.body.scrollHeight)")
    page.wait_for_timeout(500)
    keep(Image.open(io.BytesIO(page.screenshot())), name, (WIDTH, height))


def first_page(page: Page, here: str) -> None:
    page.goto(here)
    page.get_by_label("Name of the studio").fill("Lantern Lane Violin Studio")
    page.get_by_label("Your name").fill("Maeve")
    page.evaluate("document.activeElement.blur()")
    take(page, "first-page", 563)


def inside(page: Page, ticket: str) -> None:
    page.goto(ticket)
    here = re.sub(r"/ticket/.*", "", ticket)
    page.goto(f"{here}/students/add/")
    take(page, "family", 563)
    page.goto(f"{here}/calendar/weekly/add/")
    take(page, "weekly-lesson", 563, end=True)
    page.goto(f"{here}/settings/backups/")
    take(page, "backups", 493)
    student(page, here, FAMILY)
    page.locator("a[href^='/families/'][href$='/home/']").first.click()
    take(page, "home-page", 616)
    student(page, here, CHILD)
    page.locator("a[href$='/bench/']").first.click()
    take(page, "bench", 557, window=WHOLE)
    student(page, here, ON_PAPER)
    page.locator("a[href$='/bench/']").first.click()
    pdf = printed(page)
    drawn = ["pdftoppm", "-png", "-r", "150", "-f", "1", "-l", "1", "-"]
    front = subprocess.run(drawn, input=pdf, capture_output=True, check=True).stdout
    keep(Image.open(io.BytesIO(front)), "sheet", SHEET)


def student(page: Page, here: str, given_name: str) -> None:
    page.goto(f"{here}/students/")
    page.get_by_role("link", name=re.compile(given_name)).first.click()


def printed(page: Page) -> bytes:
    """The sheet of the week as the Bench shows it."""
    with page.expect_response(re.compile(r"\.pdf$")) as answer:
        page.get_by_role("button", name="Print sheet").click()
    return page.context.request.get(answer.value.url).body()


def main() -> None:
    with tempfile.TemporaryDirectory() as made, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=FLAGS)
        with opened(Path(made) / "empty") as here:
            first_page(fine(browser), here)
        with opened(Path(made) / "example", "--example") as ticket:
            inside(fine(browser), ticket)
        browser.close()


def fine(browser: Browser) -> Page:
    """Twice as fine as it will be kept."""
    return browser.new_context(device_scale_factor=2).new_page()


if __name__ == "__main__":
    main()
