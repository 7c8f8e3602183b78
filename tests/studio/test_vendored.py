"""Files brought in from outside are the ones that are written down, with their licences."""

import hashlib
import re
from pathlib import Path

import pytest
from fontTools.ttLib import TTFont  # type: ignore[import-untyped]

STATIC = Path(__file__).resolve().parents[2] / "static"


def written_down(folder: str) -> dict[str, str]:
    lines = (STATIC / folder / "VERSIONS").read_text("utf-8").splitlines()
    return dict(line.split()[:2] for line in lines if not line.startswith("#"))


@pytest.mark.parametrize(("folder", "pattern"), [("fonts", "*.woff2"), ("vendor", "*.js")])
def test_files_and_checksums_agree_with_the_list(folder: str, pattern: str) -> None:
    found = {
        path.name: hashlib.sha256(path.read_bytes()).hexdigest()
        for path in (STATIC / folder).glob(pattern)
    }
    assert found
    assert found == written_down(folder)


def style_of(name: str) -> str:
    return (STATIC / "css" / name).read_text("utf-8")


def test_every_font_file_has_its_licence_and_is_used() -> None:
    style = style_of("fonts.css") + style_of("home_faces.css")
    licences = [path.stem.removeprefix("LICENSE-") for path in (STATIC / "fonts").glob("*.txt")]
    for name in written_down("fonts"):
        assert name in style
        assert any(name.startswith(licence) for licence in licences)


def test_no_family_name_is_shared_by_two_files_of_one_style() -> None:
    style = style_of("fonts.css")
    faces = re.findall(r'font-family:("[^"]+");font-weight:(\d+);font-style:(\w+)', style)
    assert len(faces) == len(set(faces)) == style.count("@font-face{")


@pytest.mark.parametrize("name", ["fonts.css", "home_faces.css"])
def test_every_family_stands_in_a_stack(name: str) -> None:
    style = style_of(name)
    stacks = style[style.index(":root") : style.index("@font-face")]
    assert set(re.findall(r'font-family:("[^"]+")', style)) == set(re.findall(r'"[^"]+"', stacks))


def letters_drawn(style: str, weight: int) -> set[int]:
    """The letters an upright face of this weight is asked for and has; titles are all 800."""
    found: set[int] = set()
    face = rf"weight:{weight};font-style:normal;[^}}]*fonts/([\w-]+\.woff2)[^}}]*range:([^}}]*)"
    for name, ranges in re.findall(face, style):
        if name.startswith("alegreya") and weight != 800:
            continue
        with TTFont(STATIC / "fonts" / name) as font:
            has = font.getBestCmap()
        for low, high in re.findall(r"U\+([0-9A-F]+)(?:-([0-9A-F]+))?", ranges):
            found |= set(range(int(low, 16), int(high or low, 16) + 1)) & has.keys()
    return found


@pytest.mark.parametrize("weight", [400, 700, 800])
def test_the_slices_of_the_home_page_have_every_letter_of_the_whole_faces(weight: int) -> None:
    whole = letters_drawn(style_of("fonts.css"), weight)
    assert len(whole) > 700
    assert whole - letters_drawn(style_of("home_faces.css"), weight) <= {0, 0xD}


def test_styles_and_scripts_load_nothing_from_outside() -> None:
    for path in [*STATIC.glob("css/*.css"), *STATIC.glob("js/*.js"), *STATIC.glob("vendor/*.js")]:
        text = path.read_text("utf-8")
        assert "@import" not in text, path.name
        assert not re.search(r"""(url\(|src=|href=)["']?(https?:)?//""", text), path.name
