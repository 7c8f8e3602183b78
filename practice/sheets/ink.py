"""Engraved music with fewer elements: the same picture, drawn by the PDF maker in half the time.

All note heads, rests, clefs and bow marks become one path, and so do all staff lines and stems of
one width. What is not known here (slurs, beams, foreign pictures) stays as it is.
"""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

SVG = "{http://www.w3.org/2000/svg}"
_PARTS = re.compile(r"[A-Za-z]|-?(?:\d+\.?\d*|\.\d+)(?:e-?\d+)?")
_STEP = re.compile(r"(translate|scale)\(\s*([^)]+)\)")
_LINES = re.compile(r"[MLHV\d\s.,-]+")
_PLAIN = {"transform", "d", "id", "href", "class"}


@dataclass(frozen=True)
class Move:
    """Scale, then shift; all that engraved music needs."""

    sx: float = 1.0
    sy: float = 1.0
    tx: float = 0.0
    ty: float = 0.0

    def then(self, transform: str) -> Move:
        """This move applied around the one of an inner element."""
        move = self
        for kind, numbers in _STEP.findall(transform):
            x, *more = (float(part) for part in re.split(r"[\s,]+", numbers.strip()))
            if kind == "translate":
                y = more[0] if more else 0.0
                move = Move(move.sx, move.sy, move.tx + move.sx * x, move.ty + move.sy * y)
            else:
                y = more[0] if more else x
                move = Move(move.sx * x, move.sy * y, move.tx, move.ty)
        return move

    def path(self, d: str) -> str:
        """The path moved, starting with an absolute point so that paths can be joined."""
        done: list[str] = []
        command, place = "", 0
        for part in _PARTS.findall(d):
            if part.isalpha():
                command = "M" if part == "m" and not done else part
                done.append(command)
                place = 0
                continue
            across = command in "Hh" or (command not in "Vv" and place % 2 == 0)
            scale, shift = (self.sx, self.tx) if across else (self.sy, self.ty)
            value = float(part) * scale + (shift if command.isupper() else 0.0)
            done.append(f"{value:.1f}".removesuffix(".0"))
            place += 1
        return " ".join(done)


@lru_cache(maxsize=256)
def for_paper(svg: str) -> str:
    """The picture with its glyphs and its lines joined; unchanged if it is built otherwise."""
    try:
        root = ET.fromstring(svg)  # noqa: S314 (our own engraving, made on this computer)
        glyphs = _glyphs(root)
        joined = _Joined(glyphs)
        rest = [kept for child in root if child.tag != f"{SVG}defs" for kept in joined.take(child)]
    except (ET.ParseError, ValueError, KeyError):
        return svg
    if any(each.tag == f"{SVG}use" for kept in rest for each in kept.iter()):
        return svg  # it still needs the glyphs by name
    picture = ET.Element(root.tag, root.attrib)
    picture.extend([*joined.elements(), *rest])
    ET.register_namespace("", "http://www.w3.org/2000/svg")
    return ET.tostring(picture, encoding="unicode")


def _glyphs(root: ET.Element) -> dict[str, str]:
    """Name of each glyph -> its path, moved as it stands in <defs>."""
    found = {}
    for glyph in root.iterfind(f"{SVG}defs/*"):
        (path,) = glyph  # anything but one path is unknown: ValueError
        move = Move().then(glyph.get("transform", "")).then(path.get("transform", ""))
        found[f"#{glyph.attrib['id']}"] = move.path(path.attrib["d"])
    return found


class _Joined:
    def __init__(self, glyphs: dict[str, str]) -> None:
        self.glyphs = glyphs
        self.signs: list[str] = []
        self.words: list[str] = []
        self.lines: dict[tuple[str, str], list[str]] = {}

    def take(self, element: ET.Element, around: Move | None = None) -> Iterator[ET.Element]:
        """Collects what can be joined and gives back what cannot."""
        move = (around or Move()).then(element.get("transform", ""))
        if element.tag == f"{SVG}g" and set(element.attrib) <= _PLAIN:
            for child in element:
                yield from self.take(child, move)
        elif element.tag == f"{SVG}use" and set(element.attrib) <= _PLAIN:
            self.signs.append(move.path(self.glyphs[element.attrib["href"]]))
        elif element.tag == f"{SVG}path" and set(element.attrib) <= _PLAIN:
            self.words.append(move.path(element.attrib["d"]))
        elif self._is_line(element) and move.sx == move.sy == 1:
            kind = (element.attrib["stroke"], element.attrib["stroke-width"])
            self.lines.setdefault(kind, []).append(move.path(element.attrib["d"]))
        else:
            yield _moved(element, around or Move())

    def elements(self) -> list[ET.Element]:
        paths = [
            ET.Element(
                f"{SVG}path",
                {"d": " ".join(lines), "stroke": ink, "stroke-width": width, "fill": "none"},
            )
            for (ink, width), lines in self.lines.items()
        ]
        # Signs and words apart: outlines of two fonts may turn in opposite directions, and where
        # such outlines overlap inside one path they would cancel each other.
        filled = [" ".join(each) for each in (self.signs, self.words) if each]
        return paths + [ET.Element(f"{SVG}path", {"d": d}) for d in filled]

    @staticmethod
    def _is_line(element: ET.Element) -> bool:
        known = {"d", "stroke", "stroke-width", "transform"}
        return (
            element.tag == f"{SVG}path"
            and {"d", "stroke", "stroke-width"} <= set(element.attrib) <= known
            and bool(_LINES.fullmatch(element.attrib["d"]))
        )


def _moved(element: ET.Element, around: Move) -> ET.Element:
    """The element as it is, inside a group that stands for the groups it was taken from."""
    if around == Move():
        return element
    group = ET.Element(
        f"{SVG}g",
        {"transform": f"translate({around.tx:g} {around.ty:g}) scale({around.sx:g} {around.sy:g})"},
    )
    group.append(element)
    return group
