"""An engraving as a page needs it: address, size and text alternative."""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any
from urllib.parse import parse_qsl, unquote

from django.conf import settings
from django.urls import reverse
from django.utils import translation

from practice.engraving.engrave import PAPER, Engraving, Layout, engrave
from practice.engraving.spec import Spec, address, parse_address
from practice.music.sounding import USUAL_A, sounding_json
from studio.language import GERMAN, LETTERS, SYLLABLES, naming
from studio.language.cached import cached_as_spoken, spoken

WORDS = "words"
_PX_PER_MM = 96 / 25.4


@dataclass(frozen=True, slots=True)
class Picture:
    """For `<img src width height alt>`; `svg` is the same picture for paper and single files."""

    src: str
    engraving: Engraving

    @property
    def sound(self) -> str:
        """The address of the same notes for the ear."""
        path, _, query = self.src.partition("?")
        path = path.removesuffix(".svg").replace("/engraved/", "/sounding/", 1)
        return f"{path}.json?{query}" if query else f"{path}.json"

    @property
    def alt(self) -> str:
        return self.engraving.alt

    @property
    def svg(self) -> str:
        return self.engraving.svg

    @property
    def width_mm(self) -> float:
        return self.engraving.width_mm

    @property
    def height_mm(self) -> float:
        return self.engraving.height_mm

    @property
    def width(self) -> int:
        """In CSS pixels."""
        return round(self.engraving.width_mm * _PX_PER_MM)

    @property
    def height(self) -> int:
        """In CSS pixels."""
        return round(self.engraving.height_mm * _PX_PER_MM)


def picture(spec: Spec, layout: Layout = PAPER) -> Picture:
    """Draw a spec (or take it from the cache). Raises MusicError."""
    return Picture(source(spec, layout), drawn(spec, layout))


def source(spec: Spec, layout: Layout = PAPER) -> str:
    """Where a browser finds the picture; it is drawn when it is asked for."""
    query = address(spec, layout).partition("?")[2]
    src = reverse("engraving:engraved", kwargs={"path": spec.path})
    queries = "&".join(filter(None, [query, _words_query()]))
    return f"{src}?{queries}" if queries else src


def _words_query() -> str:
    """The language of the words in a picture is part of its address: it is kept by browsers, and
    asked for without a studio."""
    code, names = spoken()
    english = code == settings.LANGUAGE_CODE and names == LETTERS
    return "" if english else f"{WORDS}={code}.{names}"


@contextmanager
def as_addressed(query: Mapping[str, str]) -> Iterator[None]:
    """Words within are those that `source` wrote into the address, else English."""
    code, _, names = query.get(WORDS, "").partition(".")
    if code not in dict(settings.LANGUAGES) or names not in (LETTERS, GERMAN, SYLLABLES):
        code, names = settings.LANGUAGE_CODE, LETTERS
    with translation.override(code), naming(names):
        yield


def notes_for_the_ear(spec: Spec, layout: Layout = PAPER, *, a: float = USUAL_A) -> dict[str, Any]:
    """`sounding_json` of a spec, with `heads`: note id to [x, y] as fractions of the picture.

    Raises MusicError.
    """
    staff = spec.staff()
    heads = engrave(staff.mei, layout, staff.alt).heads
    return {
        **sounding_json(staff.line, a),
        "heads": {head.note: [head.x, head.y] for head in heads},
    }


def from_address(text: str) -> Engraving:
    """Draw what `address()` gave, for paper: "scale/G-major/major/2.svg". Raises MusicError."""
    path, _, query = text.partition("?")
    return drawn(*parse_address(unquote(path).removesuffix(".svg"), dict(parse_qsl(query))))


@cached_as_spoken(maxsize=1024)
def drawn(spec: Spec, layout: Layout = PAPER) -> Engraving:
    """The engraving of a spec. Raises MusicError."""
    staff = spec.staff()
    return engrave(staff.mei, layout, staff.alt)


__all__ = [
    "Picture",
    "address",
    "as_addressed",
    "drawn",
    "from_address",
    "notes_for_the_ear",
    "parse_address",
    "picture",
    "source",
]
