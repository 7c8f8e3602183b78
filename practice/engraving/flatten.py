"""Verovio's SVG as one flat picture that browsers and the PDF maker draw alike.

Verovio nests one `<svg>` in another, colours by a `<style>` block and writes words as text.
All three go: the nested coordinates become a group, ink is set on the elements, words become
outlines.
"""

import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from dataclasses import dataclass

from practice.engraving.letters import outline

SVG = "{http://www.w3.org/2000/svg}"
_SCALE = re.compile(r"translate\((-?[\d.]+), ?(-?[\d.]+)\)")
_NOTE_ID = re.compile(r"n\d+")
_BAR_ID = re.compile(r"m\d+")
_STAFF_LINE = re.compile(r"M(-?\d+) (-?\d+) L(-?\d+) \2")
_BOLD = {"fing", "tempo", "reh", "ending"}
STAFF = 720.0  # height of a staff, in Verovio's units
ROOM = 540.0  # above and below a staff, to be tapped
BELOW = 60.0  # words stand a little lower than Verovio puts them, clear of low notes
HALF_HEAD = 117.0  # half the width of a note head, in Verovio's units
FINGER_SCALE = 1.3  # fingers are read at 80 cm


@dataclass(frozen=True, slots=True)
class Head:
    """Where a note stands: its id and the middle of its head, as fractions of the picture."""

    note: str
    x: float
    y: float


@dataclass(frozen=True, slots=True)
class Box:
    """Where a bar stands (its staff with some room above and below), as fractions of the
    picture; `bar` is its id, m1 for the first."""

    bar: str
    x: float
    y: float
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class Flat:
    """The picture with its size in Verovio's units (a staff is 720 high)."""

    svg: str
    width: float
    height: float
    heads: tuple[Head, ...]
    bars: tuple[Box, ...]


def flatten(raw: str, ink: str) -> Flat:
    """Turn one page of Verovio's output into a flat picture."""
    ET.register_namespace("", "http://www.w3.org/2000/svg")
    root = ET.fromstring(raw)  # noqa: S314 (Verovio's own output)
    inner = root.find(f"{SVG}svg")
    if inner is None:
        raise ValueError("Verovio drew nothing.")
    box = [float(part) for part in inner.get("viewBox", "").split()]
    width, height = box[2], box[3]
    picture = ET.Element(
        f"{SVG}svg", {"viewBox": f"0 0 {width:g} {height:g}", "fill": ink, "stroke": "none"}
    )
    defs = root.find(f"{SVG}defs")
    suffix = f"-{root.get('id', '')}"
    if defs is not None:
        picture.append(defs)
    margin = inner.find(f"{SVG}g")
    if margin is not None:
        picture.append(margin)
        _clean(margin, ink)
        _shorten(picture, suffix)
    heads = tuple(_heads(margin, width, height)) if margin is not None else ()
    bars = tuple(_boxes(margin, width, height)) if margin is not None else ()
    text = re.sub(r">\s+<", "><", ET.tostring(picture, encoding="unicode"))
    return Flat(text, width, height, heads, bars)


def _clean(group: ET.Element, ink: str, kind: str = "") -> None:
    """Drop what does not print, set ink on strokes, turn words into outlines."""
    for child in list(group):
        classes = child.get("class", "").split()
        if child.tag == f"{SVG}title" or "placeholder" in classes or _empty(child):
            group.remove(child)
            continue
        if child.tag == f"{SVG}text":
            index = list(group).index(child)
            group.remove(child)
            for offset, path in enumerate(_words(child, kind)):
                group.insert(index + offset, path)
            continue
        if child.get("stroke-width"):
            child.set("stroke", ink)
        _clean(child, ink, classes[0] if classes else kind)
        for name in ("class", "color", "overflow"):
            child.attrib.pop(name, None)
        if not re.fullmatch(r"[nm]\d+", child.get("id", "")):
            child.attrib.pop("id", None)


def _empty(element: ET.Element) -> bool:
    return element.tag == f"{SVG}g" and len(element) == 0


def _shorten(picture: ET.Element, suffix: str) -> None:
    """Glyph names without Verovio's per-document suffix; the old link attribute made new."""
    for element in picture.iter():
        name = element.get("id", "")
        if name.endswith(suffix):
            element.set("id", name.removesuffix(suffix))
        link = element.attrib.pop("{http://www.w3.org/1999/xlink}href", "") or element.get("href")
        if link:
            element.set("href", link.removesuffix(suffix))


def _words(text: ET.Element, kind: str) -> Iterator[ET.Element]:
    """Each line of a text element as one path."""
    anchor = text.get("text-anchor", "start")
    x, y = float(text.get("x", 0)), float(text.get("y", 0))
    bold = kind in _BOLD
    runs = []
    for span in text.iter(f"{SVG}tspan"):
        if span.text and span.text.strip() and span.get("font-size"):
            size = float(span.get("font-size", "").removesuffix("px"))
            runs.append((span.text.strip("\n"), size * (FINGER_SCALE if kind == "fing" else 1.0)))
    drawn = [outline(words, round(size, 1), bold) for words, size in runs]
    total = sum(width for _, width in drawn)
    y += BELOW if kind == "dir" else 0.0
    x -= {"middle": total / 2, "end": total}.get(anchor, HALF_HEAD if kind == "dir" else 0.0)
    for path, width in drawn:
        if path:
            yield ET.Element(f"{SVG}path", {"transform": f"translate({x:.0f} {y:.0f})", "d": path})
        x += width


def _heads(margin: ET.Element, width: float, height: float) -> Iterator[Head]:
    left, top = _moved(margin.get("transform", ""))
    for element in margin.iter(f"{SVG}g"):
        note = element.get("id", "")
        use = next(element.iter(f"{SVG}use"), None)
        if _NOTE_ID.fullmatch(note) and use is not None:
            x, y = _moved(use.get("transform", ""))
            yield Head(note, round((left + x + HALF_HEAD) / width, 4), round((top + y) / height, 4))


def _boxes(margin: ET.Element, width: float, height: float) -> Iterator[Box]:
    left, top = _moved(margin.get("transform", ""))
    for element in margin.iter(f"{SVG}g"):
        bar = element.get("id", "")
        if not _BAR_ID.fullmatch(bar):
            continue
        found = (_STAFF_LINE.fullmatch(path.get("d", "")) for path in element.iter(f"{SVG}path"))
        line = next((line for line in found if line), None)
        if line is None:
            continue
        x, y, right = (float(part) for part in line.groups())
        yield Box(
            bar,
            round((left + x) / width, 4),
            round(max(0.0, top + y - ROOM) / height, 4),
            round((right - x) / width, 4),
            round((STAFF + 2 * ROOM) / height, 4),
        )


def _moved(transform: str) -> tuple[float, float]:
    found = _SCALE.search(transform)
    return (float(found[1]), float(found[2])) if found else (0.0, 0.0)
