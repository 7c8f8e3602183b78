from pathlib import Path
from xml.etree import ElementTree

import pytest
from django.conf import settings

from studio.web import marks

FILES = sorted((Path(settings.BASE_DIR) / "static/marks").glob("*.svg"))


@pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.stem))
def test_each_mark_is_drawn_in_the_ink_of_its_surroundings(path: Path) -> None:
    picture = ElementTree.fromstring(marks.svg(path.stem))  # well-formed
    assert picture.get("viewBox") == "0 0 24 24"
    for element in picture.iter():
        assert "style" not in element.attrib
        assert not element.tag.endswith(("}style", "}script"))
        assert element.get("fill", "none") in {"none", "currentColor"}
        assert element.get("stroke", "none") in {"none", "currentColor"}


def test_ink_can_be_fixed_for_paper() -> None:
    assert "currentColor" not in marks.svg("favourite", ink="#201A15")


@pytest.mark.parametrize("name", ["no-such-mark", "../icons/studio", ""])
def test_an_unknown_mark_is_named_in_the_error(name: str) -> None:
    with pytest.raises(ValueError, match="There is no mark called"):
        marks.strokes(name)
