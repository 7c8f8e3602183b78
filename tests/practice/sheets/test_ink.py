"""Joining paths must not change what is drawn."""

import re
import xml.etree.ElementTree as ET

import pytest

from practice.engraving.engrave import SPOT
from practice.engraving.pictures import drawn
from practice.engraving.spec import Spec
from practice.music.keys import parse_key
from practice.sheets.ink import SVG, Move, for_paper

ABC = "L:1/8\nM:3/4\nK:G\n!4!e2 (!2!c!3!d) (!0!e!1!f)|"


def svg(inside: str, defs: str = "") -> str:
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100">'
        f"<defs>{defs}</defs>{inside}</svg>"
    )


HEAD = '<g id="E0A4"><path transform="scale(1,-1)" d="M0 -10c0 20 5 30 10 30h4v-6z"/></g>'


def paths(text: str) -> list[dict[str, str]]:
    return [dict(element.attrib) for element in ET.fromstring(text).iter(f"{SVG}path")]


@pytest.mark.parametrize(
    ("transform", "d", "moved"),
    [
        ("translate(10, 5)", "M1 2 L3 4 l1 1", "M 11 7 L 13 9 l 1 1"),
        ("scale(2)", "m1 2 h3 v4 z", "M 2 4 h 6 v 8 z"),
        ("translate(10 0) scale(0.5, -1)", "M2 2 H4 V6", "M 11 -2 H 12 V -6"),
        ("", "M.5-.5c-1e0 0 1 1 2 2", "M 0.5 -0.5 c -1 0 1 1 2 2"),
    ],
)
def test_a_path_is_moved_as_svg_would_move_it(transform: str, d: str, moved: str) -> None:
    assert Move().then(transform).path(d) == moved


def test_glyphs_become_one_path_at_their_places() -> None:
    picture = for_paper(
        svg(
            '<g transform="translate(100, 0)"><use href="#E0A4" transform="translate(10, 20)"/>'
            '<g id="n2"><use href="#E0A4" transform="translate(30, 20) scale(2, 2)"/></g></g>',
            HEAD,
        )
    )
    assert paths(picture) == [
        {"d": "M 110 30 c 0 -20 5 -30 10 -30 h 4 v 6 z M 130 40 c 0 -40 10 -60 20 -60 h 8 v 12 z"}
    ]


def test_lines_are_joined_by_width_and_the_rest_keeps_its_place() -> None:
    picture = for_paper(
        svg(
            '<g transform="translate(1, 1)"><path d="M0 0 L9 0" stroke-width="2" stroke="#201A15"/>'
            '<path d="M0 5 L9 5" stroke-width="2" stroke="#201A15"/>'
            '<path d="M0 9 L9 9" stroke-width="3" stroke="#201A15"/>'
            '<polygon points="0,0 1,1 2,0"/></g>'
        )
    )
    assert [path["d"] for path in paths(picture)] == ["M 1 1 L 10 1 M 1 6 L 10 6", "M 1 10 L 10 10"]
    assert 'transform="translate(1 1) scale(1 1)"' in picture


@pytest.mark.parametrize(
    "foreign",
    [
        "not even XML",
        svg('<use href="#missing"/>'),
        svg('<g style="opacity:.5"><use href="#E0A4"/></g>', HEAD),
        svg("", '<g id="two"><path d="M0 0"/><path d="M1 1"/></g>'),
    ],
)
def test_what_is_built_otherwise_stays_as_it_is(foreign: str) -> None:
    assert for_paper(foreign) == foreign


@pytest.mark.parametrize(
    ("spec", "kept"),
    [(Spec("scale", parse_key("B flat major"), "major", 3), 0), (Spec("excerpt", abc=ABC), 8)],
    ids=["scale", "excerpt"],
)
def test_an_engraving_keeps_its_notes_and_its_frame(spec: Spec, kept: int) -> None:
    before = drawn(spec, SPOT).svg
    after = for_paper(before)
    assert "<use" in before
    assert "<use" not in after
    assert len(paths(after)) <= 6 + kept  # lines by width, signs, words, slurs
    box = [float(part) for part in ET.fromstring(after).get("viewBox", "").split()]
    points = re.findall(r"[ML] (-?[\d.]+) (-?[\d.]+)", " ".join(p["d"] for p in paths(after)))
    assert len(points) > 40
    for x, y in points:
        assert box[0] <= float(x) <= box[2]
        assert box[1] <= float(y) <= box[3]
