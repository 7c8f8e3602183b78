"""Two windows on one Bench: what changed since this page was shown.

The page carries what it was shown with. A field the teacher left alone takes the newer value;
a field she wrote in keeps hers; every difference is told before anything is saved.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import astuple, dataclass

from django.http import QueryDict
from django.utils.translation import gettext as _

from practice.bench.fields import KEEP
from practice.bench.page_form import PageForm
from practice.plans.words import scale_words
from practice.repertoire.models import PieceInHand

LONGEST = 60  # characters of a value told in a sentence


@dataclass(frozen=True)
class Shown:
    """A field's value, which is compared, and what is told of it: its label, the value in words."""

    value: str
    label: str
    words: str


NOTHING = Shown("", "", "")


@dataclass(frozen=True)
class Difference:
    label: str
    before: str
    now: str

    @property
    def sentence(self) -> str:
        if not self.before:
            said = _("{label}: “{now}” is new.")
        elif not self.now:
            said = _("{label}: “{before}” is gone.")
        else:
            said = _("{label}: was “{before}”, is now “{now}”.")
        return said.format(label=self.label, before=_short(self.before), now=_short(self.now))


def shown(page: PageForm) -> dict[str, Shown]:
    """Everything the page stands on, by the name of its field; read from the rows."""
    found = dict(_facts(page))
    for name, field in page.week.fields.items():
        if name not in ("week", "shown", "by_hand"):
            label = str(field.label or name.capitalize())
            found[name] = _plain(page.week.initial.get(name), label)
    found["scale-bowings"] = _plain(page.scale.initial.get("bowings"), _("Bowings"))
    found["etude-lines"] = _plain(page.etude.initial.get("lines"), _("Etude, lines"))
    found["etude-cue"] = _plain(page.etude.initial.get("cue"), _("Etude, cue"))
    for row in page.pieces:
        for form in row.spots:
            for name, value in form.initial.items():
                label = f"{row.piece.title}, {form.fields[name].label}"
                found[form.add_prefix(name)] = _plain(value, label)
    for wish in page.wishes.forms:
        for name, value in wish.initial.items():
            label = _("Your wishes, {field}").format(field=wish.fields[name].label)
            found[wish.add_prefix(name)] = _plain(value, label)
    return found


def packed(page: PageForm) -> str:
    """For the page's hidden field."""
    return json.dumps({name: astuple(each) for name, each in shown(page).items()})


def differences(data: QueryDict, page: PageForm) -> list[Difference]:
    """What changed between the page's being shown and now, unless she wrote the very same."""
    before, now = _unpacked(data.get("seen", "")), shown(page)
    if before is None:
        return []
    found = []
    for name in dict.fromkeys([*now, *before]):
        was, is_now = before.get(name), now.get(name)
        if _same(was, is_now) or (is_now and _posted(data, name) == is_now.value):
            continue
        label = (is_now or was or NOTHING).label
        found.append(Difference(label, (was or NOTHING).words, (is_now or NOTHING).words))
    return found


def caught_up(data: QueryDict, page: PageForm) -> QueryDict:
    """The posted page with what she left alone brought up to date."""
    before, now = _unpacked(data.get("seen", "")) or {}, shown(page)
    merged = data.copy()
    for name, each in now.items():
        was = before.get(name)
        left_alone = _posted(data, name) == was.value if was else name not in data
        if left_alone and not _same(was, each):
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
    scale, etude = page.hand.scale, page.hand.etude
    played = f"{scale.named} {scale.how}" if scale else ""
    yield "scale", Shown(played, _("Scale"), scale_words(page.hand))
    title = etude.title if etude else ""
    yield "etude", Shown(str(etude.work_id) if etude else "", _("Etude"), title)
    for piece in page.hand.pieces:
        stage = str(PieceInHand.Stage(piece.stage).label)
        yield f"piece-{piece.id}", Shown(piece.stage, piece.title, stage)
        for spot in piece.spots:
            label = f"{piece.title}, {spot.label}"
            yield f"spot-{spot.id}", Shown(spot.bars, label, _("in hand"))


def _plain(value: object, label: str) -> Shown:
    """Told as it is kept."""
    text = _text(value)
    return Shown(text, str(label), text)


def _same(one: Shown | None, other: Shown | None) -> bool:
    """By the value alone: the page may have been shown in another language."""
    return one is other if one is None or other is None else one.value == other.value


def _posted(data: Mapping[str, str], name: str) -> str:
    if isinstance(data, QueryDict) and name == "scale-bowings":
        return ",".join(data.getlist(name))
    return data.get(name, "").strip().replace("\r\n", "\n")


def _unpacked(text: str) -> dict[str, Shown] | None:
    try:
        return {name: Shown(*map(str, each)) for name, each in json.loads(text).items()}
    except (ValueError, AttributeError, IndexError, TypeError):
        return None


def _text(value: object) -> str:
    if isinstance(value, list):
        return ",".join(map(str, value))
    return "" if value is None else str(value).strip()


def _short(value: str) -> str:
    return value if len(value) <= LONGEST else f"{value[: LONGEST - 1]}…"
