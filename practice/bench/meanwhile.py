"""Two windows on one Bench: what changed since this page was shown.

The page carries what it was shown with. A field the teacher left alone takes the newer value;
a field she wrote in keeps hers; every difference is told before anything is saved.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from django.http import QueryDict

from practice.bench.fields import KEEP
from practice.bench.page_form import PageForm
from practice.plans.words import scale_words
from practice.repertoire.models import PieceInHand

LONGEST = 60  # characters of a value told in a sentence


@dataclass(frozen=True)
class Shown:
    """A field's label and its value as text."""

    label: str
    value: str


@dataclass(frozen=True)
class Difference:
    label: str
    before: str
    now: str

    @property
    def sentence(self) -> str:
        if not self.before:
            return f"{self.label}: “{_short(self.now)}” is new."
        if not self.now:
            return f"{self.label}: “{_short(self.before)}” is gone."
        return f"{self.label}: was “{_short(self.before)}”, is now “{_short(self.now)}”."


def shown(page: PageForm) -> dict[str, Shown]:
    """Everything the page stands on, by the name of its field; read from the rows."""
    found = dict(_facts(page))
    found |= {
        name: Shown(str(field.label or name.capitalize()), _text(page.week.initial.get(name)))
        for name, field in page.week.fields.items()
        if name not in ("week", "shown", "by_hand")
    }
    found["scale-bowings"] = Shown("Bowings", _text(page.scale.initial.get("bowings")))
    for name in ("lines", "cue"):
        value = _text(page.etude.initial.get(name))
        found[f"etude-{name}"] = Shown(f"Etude, {name}", value)
    for row in page.pieces:
        for form in row.spots:
            for name, value in form.initial.items():
                label = f"{row.piece.title}, {form.fields[name].label}"
                found[form.add_prefix(name)] = Shown(label, _text(value))
    for wish in page.wishes.forms:
        for name, value in wish.initial.items():
            label = f"Your wishes, {wish.fields[name].label}"
            found[wish.add_prefix(name)] = Shown(label, _text(value))
    return found


def packed(page: PageForm) -> str:
    """For the page's hidden field."""
    return json.dumps({name: [each.label, each.value] for name, each in shown(page).items()})


def differences(data: QueryDict, page: PageForm) -> list[Difference]:
    """What changed between the page's being shown and now, unless she wrote the very same."""
    before, now = _unpacked(data.get("seen", "")), shown(page)
    if before is None:
        return []
    found = []
    for name in dict.fromkeys([*now, *before]):
        was, is_now = before.get(name), now.get(name)
        if was == is_now or (is_now and _posted(data, name) == is_now.value):
            continue
        label = (is_now or was or Shown("", "")).label
        found.append(Difference(label, was.value if was else "", is_now.value if is_now else ""))
    return found


def caught_up(data: QueryDict, page: PageForm) -> QueryDict:
    """The posted page with what she left alone brought up to date."""
    before, now = _unpacked(data.get("seen", "")) or {}, shown(page)
    merged = data.copy()
    for name, each in now.items():
        was = before.get(name)
        left_alone = _posted(data, name) == was.value if was else name not in data
        if left_alone and each != was:
            merged.setlist(name, each.value.split(",") if name == "scale-bowings" else [each.value])
    scale, etude = page.hand.scale, page.hand.etude
    if scale and data.get("scale-move") == scale.key:
        merged["scale-move"] = KEEP
    if etude and data.get("etude-move") == str(etude.work_id):
        merged["etude-move"] = KEEP
    merged["seen"] = packed(page)
    return merged


def _facts(page: PageForm) -> Iterator[tuple[str, Shown]]:
    """What stands behind choices that say no more than Keep."""
    hand = page.hand
    yield "scale", Shown("Scale", scale_words(hand))
    yield "etude", Shown("Etude", hand.etude.title if hand.etude else "")
    for piece in hand.pieces:
        stage = PieceInHand.Stage(piece.stage).label
        yield f"piece-{piece.id}", Shown(piece.title, stage)
        for spot in piece.spots:
            yield f"spot-{spot.id}", Shown(f"{piece.title}, {spot.label}", "in hand")


def _posted(data: Mapping[str, str], name: str) -> str:
    if isinstance(data, QueryDict) and name == "scale-bowings":
        return ",".join(data.getlist(name))
    return data.get(name, "").strip().replace("\r\n", "\n")


def _unpacked(text: str) -> dict[str, Shown] | None:
    try:
        return {name: Shown(str(each[0]), str(each[1])) for name, each in json.loads(text).items()}
    except (ValueError, AttributeError, IndexError, TypeError):
        return None


def _text(value: object) -> str:
    if isinstance(value, list):
        return ",".join(map(str, value))
    return "" if value is None else str(value).strip()


def _short(value: str) -> str:
    return value if len(value) <= LONGEST else f"{value[: LONGEST - 1]}…"
