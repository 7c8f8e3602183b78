"""Files brought in from outside are the ones that are written down, with their licences."""

import hashlib
import re
from pathlib import Path

import pytest

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


def test_every_font_file_has_its_licence_and_is_used() -> None:
    style = (STATIC / "css/fonts.css").read_text("utf-8")
    licences = [path.stem.removeprefix("LICENSE-") for path in (STATIC / "fonts").glob("*.txt")]
    for name in written_down("fonts"):
        assert name in style
        assert any(name.startswith(licence) for licence in licences)


def test_no_family_name_is_shared_by_two_files_of_one_style() -> None:
    style = (STATIC / "css/fonts.css").read_text("utf-8")
    faces = re.findall(r'font-family:("[^"]+");font-weight:(\d+);font-style:(\w+)', style)
    assert len(faces) == len(set(faces)) == style.count("@font-face{")


def test_every_family_stands_in_a_stack() -> None:
    style = (STATIC / "css/fonts.css").read_text("utf-8")
    stacks = style[style.index(":root") : style.index("@font-face")]
    assert set(re.findall(r'font-family:("[^"]+")', style)) == set(re.findall(r'"[^"]+"', stacks))


def test_styles_and_scripts_load_nothing_from_outside() -> None:
    for path in [*STATIC.glob("css/*.css"), *STATIC.glob("js/*.js"), *STATIC.glob("vendor/*.js")]:
        text = path.read_text("utf-8")
        assert "@import" not in text, path.name
        assert not re.search(r"""(url\(|src=|href=)["']?(https?:)?//""", text), path.name
