"""The faces inside the take-home file: no more than its letters, and joined as they must be."""

import base64
import io
import re

import pytest
from fontTools.ttLib import TTFont  # type: ignore[import-untyped]

from practice.home.faces import faces_for

FACE = re.compile(r'family:"([^"]+)";font-weight:(\d+);[^}]*base64,([^)]+)\)')


def faces(text: str) -> dict[tuple[str, str], list[TTFont]]:
    found: dict[tuple[str, str], list[TTFont]] = {}
    for family, weight, data in FACE.findall(faces_for(text)):
        font = TTFont(io.BytesIO(base64.b64decode(data)))
        found.setdefault((family, weight), []).append(font)
    return found


def features(font: TTFont) -> set[str]:
    return {each.FeatureTag for each in font["GSUB"].table.FeatureList.FeatureRecord}


@pytest.mark.parametrize("weight", ["400", "700"])
def test_letters_of_arabic_join(weight: str) -> None:
    """Initial, medial and final forms: without them نور falls apart into three letters."""
    fonts = faces("نور")["Noto Naskh Arabic", weight]
    assert fonts
    assert all(features(font) >= {"init", "fina"} for font in fonts)


def test_german_letters_are_in_the_face_of_plain_letters_alone() -> None:
    plain, german = faces("Imani"), faces("Übeblatt für große Töne, „Äpfel“")
    assert german.keys() == plain.keys()
    assert {family: len(fonts) for family, fonts in german.items()} == {
        family: len(fonts) for family, fonts in plain.items()
    }
    for fonts in german.values():
        assert any(set(map(ord, "ÜÄöüß")) & set(font.getBestCmap()) for font in fonts)


def test_letters_nobody_asked_for_stay_out() -> None:
    assert ("Noto Naskh Arabic", "400") not in faces("Imani, Łucja")
    letters = set().union(*(font.getBestCmap() for font in faces("Łucja")["Andika", "400"]))
    assert ord("Ł") in letters
    assert ord("ł") not in letters
