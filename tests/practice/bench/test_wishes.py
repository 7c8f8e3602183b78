import datetime as dt

from practice.bench.wishes import Wishes, stored_pins
from practice.planning import codec
from practice.planning.types import (
    FixedMinutes,
    ForbiddenPart,
    FreeItem,
    Part,
    PinnedItem,
    Pins,
)
from practice.plans.hand import Hand, HandEtude
from practice.plans.weeks import days_from

DAY = dt.date(2026, 11, 26)
HAND = Hand(etude=HandEtude(3, 1, "Wohlfahrt op. 45, no. 2", "Wohlfahrt", DAY))
SATURDAY = dt.date(2026, 11, 28)
ALL = Pins(
    items=(PinnedItem("etude:3", SATURDAY),),
    forbidden=(ForbiddenPart(Part.STRETCH), ForbiddenPart(Part.EXPLORE, SATURDAY)),
    fixed=(FixedMinutes(Part.SCALE, 8),),
    free=(FreeItem(1, "tune by ear", 3, SATURDAY),),
)


def wishes(pins: Pins, data: dict[str, str] | None = None) -> Wishes:
    return Wishes(pins, days_from(DAY), HAND, data)


def posted() -> dict[str, str]:
    return {
        "pin-0-key": "etude:3",
        "pin-0-day": "2026-11-28",
        "forbid-0-part": "stretch",
        "forbid-1-part": "explore",
        "forbid-1-day": "2026-11-28",
        "fix-0-part": "scale",
        "fix-0-minutes": "8",
        "free-0-text": "tune by ear",
        "free-0-minutes": "3",
        "free-0-day": "2026-11-28",
    }


def test_wishes_are_read_as_pins() -> None:
    said = wishes(Pins(), posted())
    assert all(form.is_valid() for form in said.forms)
    assert said.pins == ALL


def test_kept_wishes_stand_in_their_rows_with_empty_ones_after() -> None:
    kinds = wishes(ALL).kinds
    assert [len(kinds[kind]) for kind in ("pin", "forbid", "fix", "free")] == [4, 5, 4, 4]
    assert kinds["forbid"][1].initial == {"part": "explore", "day": "2026-11-28"}


def test_an_empty_page_wishes_nothing() -> None:
    said = wishes(Pins(), {})
    assert all(form.is_valid() for form in said.forms)
    assert said.pins == Pins()


def test_half_a_wish_says_what_is_missing() -> None:
    data = {"pin-0-key": "etude:3", "fix-0-part": "scale", "free-0-text": "tune"}
    said = wishes(Pins(), data)
    assert {name: list(e) for form in said.forms for name, e in form.errors.items()} == {
        "day": ["Choose the day it is to stand on."],
        "minutes": ["Give it a number of minutes."],
    }


def test_minutes_of_a_wish_are_whole_and_possible() -> None:
    said = wishes(Pins(), {"fix-0-part": "scale", "fix-0-minutes": "900"})
    (sentences,) = [form.errors["minutes"] for form in said.forms if form.errors]
    assert sentences == ["900 is too much; at most 240."]


def test_pins_come_back_from_a_row() -> None:
    assert stored_pins(codec.to_json(ALL)) == ALL
    assert stored_pins({}) == Pins()
    assert stored_pins({"nonsense": 1}) == Pins()
