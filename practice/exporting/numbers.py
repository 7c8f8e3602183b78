"""The numbers by which texts and JSON name rows, put right where rows get new ones.

Keys ("spot:41") and the inputs of plans hold them. A row that is gone gets a negative number,
which no row has. Values of another shape are refused (ValueError), whoever wrote the file.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Callable, Iterator
from typing import Any

from django.db.models import QuerySet
from django.utils.translation import gettext as _

from practice.engraving.reading import read_score
from practice.music.bowings import pattern_from_json
from practice.planning import codec
from practice.planning.types import Pins, WeekInputs
from practice.reports.data import ReportData
from practice.sheets.data import SheetData
from studio.export.rules import Find, Values

IN_KEYS = {
    "scale": "practice.scaleinhand",
    "etude": "practice.etudeinhand",
    "spot": "practice.spot",
    "run": "practice.pieceinhand",
    "favourite": "practice.favourite",
    "own": "practice.bowing",
}
# "spot:41", and "own:3+doubled" for a variation of a bowing.
NAMED = re.compile(r"([a-z]+):([0-9]{1,18})(\+.*)?", re.DOTALL)
IN_HAND = tuple(label for name, label in IN_KEYS.items() if name != "own")


def number(label: str, old: int, find: Find) -> int:
    """The row's new number; a negative one for a row that is gone."""
    new = find(label, old) if old > 0 else None
    return -abs(old) if new is None else new


def named(key: Any, find: Find) -> Any:
    """A key such as "spot:41" with the new number; other texts as they are."""
    if not isinstance(key, str):
        return key
    match = NAMED.fullmatch(key)
    if match is None or match[1] not in IN_KEYS:
        return key
    return f"{match[1]}:{number(IN_KEYS[match[1]], int(match[2]), find)}{match[3] or ''}"


def keys(*fields: str) -> Callable[[Values, Find], None]:
    def relink(values: Values, find: Find) -> None:
        for name in fields:
            values[name] = named(values[name], find)

    return relink


def _pins(pins: Any, find: Find) -> None:
    codec.from_json(Pins, pins)
    for pin in pins.get("items", ()):
        pin["key"] = named(pin["key"], find)


def assignment(values: Values, find: Find) -> None:
    minutes = values["minutes"]
    if not isinstance(minutes, list) or not all(type(each) is int for each in minutes):
        raise ValueError(_("minutes is no list of whole numbers"))
    if len(minutes) > 7 or any(not 0 <= each <= 24 * 60 for each in minutes):
        raise ValueError(_("minutes are not those of seven days"))
    _pins(values["pins"], find)


def plan(values: Values, find: Find) -> None:
    inputs, details = values["inputs"], values["details"]
    if not isinstance(details, dict) or not all(isinstance(one, str) for one in details.values()):
        raise ValueError(_("details are no texts by key"))
    values["details"] = {named(key, find): text for key, text in details.items()}
    if not inputs:
        return
    WeekInputs.from_json(inputs)
    for name, label in (("scale", IN_KEYS["scale"]), ("etude", IN_KEYS["etude"])):
        _numbered([inputs[name]] if inputs.get(name) else [], label, find)
    _numbered(inputs.get("pieces", []), IN_KEYS["run"], find)
    _numbered(inputs.get("spots", []), IN_KEYS["spot"], find)
    _numbered(inputs.get("favourites", []), IN_KEYS["favourite"], find)
    if inputs.get("explore") and inputs["explore"].get("id") is not None:
        _numbered([inputs["explore"]], "practice.idea", find)
    history = inputs.get("history", {})
    for logged in history.get("logged", []):
        logged["key"] = named(logged["key"], find)
    if "left_out" in history:
        history["left_out"] = [named(key, find) for key in history["left_out"]]
    _pins(inputs.get("pins", {}), find)


def ideas(plans: QuerySet[Any]) -> Iterator[int]:
    """The numbers of the ideas that plans speak of."""
    for inputs in plans.values_list("inputs", flat=True).iterator():
        explore = inputs.get("explore") if inputs else None
        if explore and explore.get("id"):
            yield explore["id"]


def _numbered(things: list[dict[str, Any]], label: str, find: Find) -> None:
    for thing in things:
        thing["id"] = number(label, thing["id"], find)


def bowing(values: Values, find: Find) -> None:
    if not isinstance(values["pattern"], dict):
        raise ValueError(_("pattern is no bowing"))
    pattern_from_json(values["pattern"])


def techniques(values: Values, find: Find) -> None:
    words = values["techniques"]
    if not isinstance(words, list) or not all(isinstance(word, str) for word in words):
        raise ValueError(_("techniques is no list of words"))


def score(values: Values, find: Find) -> None:
    if hashlib.sha256(values["data"]).hexdigest() != values["digest"]:
        raise ValueError(_("the file is not the one it was"))
    if len(read_score(values["data"], values["name"]).bars) != values["bars"]:
        raise ValueError(_("the file has other bars"))


def without_addresses(values: Values) -> None:
    """The codes on a sheet hold private addresses; printing it again makes new ones."""
    if isinstance(values["data"], dict):
        values["data"]["codes"] = []


def sheet(values: Values, find: Find) -> None:
    SheetData.from_json(values["data"])
    without_addresses(values)


def report(values: Values, find: Find) -> None:
    if values["figures"] is not None:
        ReportData.from_json(values["figures"])
