import json
from dataclasses import replace

import pytest

from practice.sheets.data import Picture, SheetData, drawn
from tests.practice.sheets.samples import KINDS, ONE_SESSION, READER, SCALE


@pytest.mark.parametrize("data", KINDS.values(), ids=KINDS)
def test_a_sheet_comes_back_from_json_unchanged(data: SheetData) -> None:
    assert SheetData.from_json(json.loads(json.dumps(data.to_json()))) == data


def test_totals_are_the_minutes_of_each_day_without_rests() -> None:
    assert READER.totals == (25, 25, 35, 0, 25, 25, 10)  # added up by hand


def test_minutes_for_another_number_of_days_are_refused() -> None:
    with pytest.raises(ValueError, match="Stretch has minutes for 7 days, the week has 6"):
        replace(READER, days=READER.days[:6])


def test_rests_for_another_number_of_days_are_refused() -> None:
    with pytest.raises(ValueError, match="After breakfast has rests for 2 days, the week has 7"):
        replace(READER, sessions=(replace(ONE_SESSION[0], rests=(5, 5)),))


def test_a_field_of_another_shape_is_named() -> None:
    data = READER.to_json()
    data["days"][0]["kind"] = "party"
    with pytest.raises(ValueError, match=r"SheetData\.days\[0\]\.kind cannot be 'party'"):
        SheetData.from_json(data)


def test_only_pictures_without_a_drawing_are_drawn() -> None:
    asked: list[str] = []

    def draw(spec: str) -> Picture:
        asked.append(spec)
        return Picture("made", "<svg/>", 10.0, 5.0)

    bare = replace(SCALE.staves[0], picture=Picture("G major", spec="scale/G-major"))
    sheet = drawn(replace(READER, scale=replace(SCALE, staves=(bare, SCALE.staves[1]))), draw)
    assert asked == ["scale/G-major"]
    assert sheet.scale is not None
    assert sheet.scale.staves[0].picture == Picture("G major", "<svg/>", 10.0, 5.0, "scale/G-major")
    assert sheet.scale.staves[1] == SCALE.staves[1]
    assert sheet.pieces == READER.pieces
