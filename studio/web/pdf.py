"""PDF from HTML by WeasyPrint: our own fonts and marks, pictures from memory, nothing else.

Addresses inside the HTML and its styles: `studio:font/…`, `studio:mark/…` (see marks.py) and
`studio:picture/<name>`, which is looked up in the pictures given for that one document.
"""

from __future__ import annotations

import atexit
import gc
import re
import threading
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from functools import cache
from typing import TYPE_CHECKING, Any

from django.conf import settings
from django.http import HttpResponse
from django.utils.http import content_disposition_header
from django.utils.text import slugify
from django.utils.translation import gettext as _

from studio.web import marks

if TYPE_CHECKING:
    from weasyprint import CSS, Document
    from weasyprint.text.fonts import FontConfiguration

VARIANT = "pdf/ua-1"
PAPER_INK = "#201A15"
MARKS = "marks"  # made here: a class for each mark, used as <span class="m m-scale">
GROUND_STYLES = ("fonts.css", MARKS)
_MM_PER_PX = 25.4 / 96
_FACE = re.compile(r'@font-face\{font-family:"([^"]+)"[^}]*unicode-range:([^}]+)\}')
_RANGE = re.compile(r"U\+([0-9A-F]+)(?:-([0-9A-F]+))?")

# Pango hangs when two threads use one font configuration, so only one document is made at a time.
_LOCK = threading.Lock()


class PrintingMissing(RuntimeError):
    """The libraries WeasyPrint draws letters with are not on this computer."""

    def __init__(self) -> None:
        super().__init__(
            _(
                "Printing needs the Pango library, which is not on this computer. "
                "Debian and Ubuntu: sudo apt install libpango-1.0-0 libpangoft2-1.0-0 "
                "libharfbuzz-subset0. Mac: brew install pango. Then start the program again."
            )
        )


class PictureMissing(ValueError):
    """The document asks for something that is not its own."""


class Press:
    """Makes documents while it holds the lock; see `press`."""

    def lay_out(self, html: str, styles: tuple[str, ...], pictures: Mapping[str, str]) -> Document:
        """The document in pages, not yet written. Styles are names of files in static/css."""
        from weasyprint import HTML
        from weasyprint.urls import FatalURLFetchingError

        _load_faces(html)
        try:
            return HTML(string=html, url_fetcher=_fetcher(pictures)).render(
                font_config=_fonts(),
                stylesheets=[_style(name) for name in (*GROUND_STYLES, *styles)],
                pdf_variant=VARIANT,
            )
        except FatalURLFetchingError as error:  # a BaseException, which no handler would catch
            raise PictureMissing(str(error)) from error

    def write(self, document: Document) -> bytes:
        written: bytes = document.write_pdf(
            pdf_variant=VARIANT, pdf_identifier=b"studio", finisher=_every_sign_means_something
        )
        return written


def _every_sign_means_something(_: Document, pdf: Any) -> None:
    """An Arabic letter is drawn as its body and its dots, and WeasyPrint leaves the dots without
    a letter, which PDF/UA forbids: they get a space of no width."""
    for thing in pdf.objects:
        lines = getattr(thing, "stream", None)
        if isinstance(lines, list) and b"begincmap" in lines:
            thing.stream = [
                line[:-2] + b"<200b>" if isinstance(line, bytes) and line.endswith(b" <>") else line
                for line in lines
            ]


@contextmanager
def press() -> Iterator[Press]:
    """The one press of this process, ready. Raises PrintingMissing without Pango."""
    with _LOCK, _fewer_collections():
        try:
            import weasyprint  # noqa: F401  (loads Pango: late, so that all other pages work)
        except OSError as error:
            raise PrintingMissing from error
        yield Press()


@contextmanager
def _fewer_collections() -> Iterator[None]:
    """A document is built from many small objects, none of them garbage before it is written:
    looking for garbage as often as usual takes a fifth of the time."""
    usual = gc.get_threshold()
    gc.set_threshold(50_000, 50, 100)
    try:
        yield
    finally:
        gc.set_threshold(*usual)


def pdf(html: str, styles: tuple[str, ...], pictures: Mapping[str, str] | None = None) -> bytes:
    """One document from a whole HTML page. Raises PrintingMissing without Pango."""
    with press() as ready:
        return ready.write(ready.lay_out(html, styles, pictures or {}))


def pdf_answer(content: bytes, name: str) -> HttpResponse:
    """Opened in the browser, and kept under that name where it is saved."""
    file = f"{slugify(name, allow_unicode=True) or 'pages'}.pdf"
    disposition = content_disposition_header(as_attachment=False, filename=file) or "inline"
    headers = {"Content-Disposition": disposition}
    return HttpResponse(content, content_type="application/pdf", headers=headers)


def warm_up() -> None:
    """Makes a sheet for nobody, so that the first one somebody waits for finds all loaded."""
    with suppress(PrintingMissing):
        pdf('<html lang="en"><title>A</title><p>A ♯</p></html>', ("sheet.css",))


def height_mm(document: Document, page: int, anchor: str) -> float | None:
    """How far below the top edge the element with that id stands on that page, None: not there."""
    place = document.pages[page].anchors.get(anchor)
    return None if place is None else place[1] * _MM_PER_PX


def _fetcher(pictures: Mapping[str, str]) -> Any:
    from weasyprint.urls import URLFetcher, URLFetcherResponse

    class OwnThingsOnly(URLFetcher):  # type: ignore[misc]  # weasyprint has no types
        def fetch(self, url: str, headers: dict[str, str] | None = None) -> URLFetcherResponse:
            body, kind = own_thing(url, pictures)
            return URLFetcherResponse(url, body, {"Content-Type": kind})

    return OwnThingsOnly(fail_on_errors=True)


def own_thing(url: str, pictures: Mapping[str, str]) -> tuple[bytes, str]:
    """Content and media type of a `studio:` address. Raises ValueError for every other one."""
    match = re.fullmatch(r"studio:(font|mark|picture)/([\w-]+)(\.woff2)?", url)
    if match is None:
        raise ValueError(f"A printed page may not load {url[:80]!r}.")
    kind, name, _ = match.groups()
    if kind == "font":
        path = settings.BASE_DIR / "static" / "fonts" / f"{name}.woff2"
        return path.read_bytes(), "font/woff2"
    picture = marks.svg(name, ink=PAPER_INK) if kind == "mark" else pictures.get(name)
    if picture is None:
        raise ValueError(f"There is no picture called {name!r}.")
    return picture.encode(), "image/svg+xml"


@cache
def _fonts() -> FontConfiguration:
    from weasyprint.text.fonts import FontConfiguration

    # Freed before Python takes its modules down: the destructor still needs them.
    for kept in (_fonts, _style, _family):
        atexit.register(kept.cache_clear)
    return FontConfiguration()


@cache
def _style(name: str) -> CSS:
    """A file of static/css without its faces, read once; or the classes of the marks."""
    from weasyprint import CSS

    static = settings.BASE_DIR / "static"
    if name == MARKS:
        text = "".join(
            f".m-{path.stem}{{background-image:url(studio:mark/{path.stem})}}"
            for path in sorted((static / "marks").glob("*.svg"))
        )
    else:
        text = _FACE.sub("", (static / "css" / name).read_text(encoding="utf-8"))
    return CSS(string=text, font_config=_fonts(), url_fetcher=_fetcher({}))


def _load_faces(html: str) -> None:
    """Loads the families whose letters the document uses: each file costs a moment, once."""
    used = {ord(letter) for letter in html}
    for family, ranges in _families().items():
        if any(first <= letter <= last for letter in used for first, last in ranges):
            _family(family)


@cache
def _families() -> dict[str, tuple[tuple[int, int], ...]]:
    """Each family of fonts.css with the letters it is for."""
    return {
        family: tuple(
            (int(first, 16), int(last or first, 16)) for first, last in _RANGE.findall(letters)
        )
        for family, letters in _FACE.findall(_fonts_css())
    }


@cache
def _family(family: str) -> CSS:
    """All faces of one family, put into the one configuration."""
    from weasyprint import CSS

    rules = [rule[0] for rule in _FACE.finditer(_fonts_css()) if rule[1] == family]
    text = "".join(rules).replace("url(../fonts/", "url(studio:font/")
    return CSS(string=text, font_config=_fonts(), url_fetcher=_fetcher({}))


@cache
def _fonts_css() -> str:
    path = settings.BASE_DIR / "static" / "css" / "fonts.css"
    return str(path.read_text(encoding="utf-8"))
