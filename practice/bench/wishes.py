"""Her own wishes for one week: what stands on a day, what is left out, minutes, a free item."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import Any

from django import forms
from django.utils.translation import gettext, gettext_noop, pgettext
from django.utils.translation import gettext_lazy as _

from practice.bench.widgets import Figures, Select, Text
from practice.planning import codec, parts
from practice.planning.types import (
    FixedMinutes,
    ForbiddenPart,
    FreeItem,
    Part,
    PinnedItem,
    Pins,
)
from practice.planning.words import sentence_case
from practice.plans.hand import Hand
from studio.language.days import weekday
from studio.people.models import one_line
from studio.web.forms import PlainForm

MOST_FREE_MINUTES = 240
MOST_WISHES = 8  # of one kind
BLANK_ROWS = 3  # more than one are shown only when the one before is filled in
FORBIDDABLE = tuple(part for part in Part if part not in (Part.RE_WARM_UP, Part.FREE))
FIXABLE = tuple(part for part in FORBIDDABLE if part is not Part.EXPLORE)
Days = tuple[dt.date, ...]


def names(some: tuple[Part, ...]) -> list[tuple[str, str]]:
    named = [(part.value, sentence_case(parts.name(part))) for part in some]
    return [("", pgettext("a wish", "nothing")), *named]


def day_field(days: Days, every: str) -> forms.ChoiceField:
    """A day of the week; `every` is what the empty choice says, without it a day is needed."""
    named = [(day.isoformat(), weekday(day)) for day in days]
    return forms.ChoiceField(
        label=_("Day"), required=False, widget=Select, choices=[("", every), *named]
    )


class WishForm(PlainForm, forms.Form):
    """One wish. Empty in its first field, it is none."""

    first: str

    def __init__(self, *args: Any, days: Days, hand: Hand, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.build(days, hand)
        for field in self.fields.values():
            field.widget.attrs["aria-label"] = f"{field.label}: {gettext(self.said)}"
            field.widget.attrs["autocomplete"] = "off"
        self.phrase()

    said = ""

    @property
    def title(self) -> str:
        """Of the box it stands in, so that a sentence about it says which wish is meant."""
        return gettext(TITLES[str(self.prefix).partition("-")[0]])

    def build(self, days: Days, hand: Hand) -> None:
        raise NotImplementedError

    @property
    def is_blank(self) -> bool:
        return not self.cleaned_data.get(self.first)

    @property
    def date(self) -> dt.date | None:
        day = self.cleaned_data.get("day")
        return dt.date.fromisoformat(day) if day else None

    def need(self, name: str, sentence: str) -> None:
        if not self.is_blank and name not in self.errors and not self.cleaned_data.get(name):
            self.add_error(name, sentence)


class ForbidForm(WishForm):
    first, said = "part", gettext_noop("leave out")

    def build(self, days: Days, hand: Hand) -> None:
        self.fields["part"] = forms.ChoiceField(
            label=_("Part"),
            required=False,
            widget=Select,
            choices=names(FORBIDDABLE),
        )
        self.fields["day"] = day_field(days, gettext("all week"))


class PinForm(WishForm):
    first, said = "key", gettext_noop("put on a day")

    def build(self, days: Days, hand: Hand) -> None:
        self.fields["key"] = forms.ChoiceField(
            label=_("What"), required=False, widget=Select, choices=pinnable(hand)
        )
        self.fields["day"] = day_field(days, gettext("which day?"))

    def clean(self) -> dict[str, Any] | None:
        cleaned = super().clean()
        self.need("day", gettext("Choose the day it is to stand on."))
        return cleaned


class FixForm(WishForm):
    first, said = "part", gettext_noop("minutes that are fixed")

    def build(self, days: Days, hand: Hand) -> None:
        self.fields["part"] = forms.ChoiceField(
            label=_("Part"), required=False, widget=Select, choices=names(FIXABLE)
        )
        self.fields["minutes"] = minutes_field()

    def clean(self) -> dict[str, Any] | None:
        cleaned = super().clean()
        self.need("minutes", gettext("Give the minutes the part is to have."))
        return cleaned


class FreeForm(WishForm):
    first, said = "text", gettext_noop("something of your own")

    def build(self, days: Days, hand: Hand) -> None:
        self.fields["text"] = forms.CharField(
            label=_("What"),
            required=False,
            max_length=80,
            validators=[one_line],
            widget=Text({"placeholder": _("tune the strings by ear")}),
        )
        self.fields["minutes"] = minutes_field()
        self.fields["day"] = day_field(days, gettext("every day"))

    def clean(self) -> dict[str, Any] | None:
        cleaned = super().clean()
        self.need("minutes", gettext("Give it a number of minutes."))
        return cleaned


def minutes_field() -> forms.IntegerField:
    return forms.IntegerField(
        label=_("Minutes"),
        required=False,
        min_value=1,
        max_value=MOST_FREE_MINUTES,
        widget=Figures({"class": "short"}),
    )


def pinnable(hand: Hand) -> list[tuple[str, str]]:
    """What takes turns and can be put on a day; the opening stands on every day anyway."""
    found = [("", pgettext("a wish", "nothing"))]
    if hand.etude:
        said = gettext("Etude: {title}").format(title=hand.etude.title)
        found.append((f"etude:{hand.etude.id}", said))
    for piece in hand.pieces:
        for spot in piece.spots:
            said = gettext("{bars} of {title}").format(bars=spot.label, title=piece.title)
            found.append((f"spot:{spot.id}", said))
        said = gettext("Run-through of {title}").format(title=piece.title)
        found.append((f"run:{piece.id}", said))
    for each in hand.favourites:
        said = gettext("Favourite: {title}").format(title=each.title)
        found.append((f"favourite:{each.id}", said))
    return found


KINDS: Mapping[str, type[WishForm]] = {
    "pin": PinForm,
    "forbid": ForbidForm,
    "fix": FixForm,
    "free": FreeForm,
}


TITLES = {
    "pin": gettext_noop("Put on a day"),
    "forbid": gettext_noop("Leave out"),
    "fix": gettext_noop("Fixed minutes"),
    "free": gettext_noop("Something of your own"),
}


class Wishes:
    """All wishes of the page: those kept, and empty rows of each kind."""

    def __init__(
        self, pins: Pins, days: Days, hand: Hand, data: Mapping[str, Any] | None = None
    ) -> None:
        self.kinds: dict[str, list[WishForm]] = {}
        for kind, form in KINDS.items():
            kept = _initial(kind, pins)
            rows = max(len(kept), _posted_rows(kind, form, data)) + BLANK_ROWS
            self.kinds[kind] = [
                form(
                    data,
                    prefix=f"{kind}-{number}",
                    initial=kept[number] if number < len(kept) else {},
                    days=days,
                    hand=hand,
                )
                for number in range(min(rows, MOST_WISHES))
            ]
        self.any_kept = any(_initial(kind, pins) for kind in KINDS)

    @property
    def titled(self) -> list[tuple[str, list[WishForm]]]:
        return [(gettext(TITLES[kind]), forms_) for kind, forms_ in self.kinds.items()]

    @property
    def forms(self) -> list[WishForm]:
        return [form for forms_ in self.kinds.values() for form in forms_]

    @property
    def pins(self) -> Pins:
        """Only when every form is valid."""
        said = {
            kind: [form for form in forms_ if not form.is_blank]
            for kind, forms_ in self.kinds.items()
        }
        return Pins(
            items=tuple(
                PinnedItem(form.cleaned_data["key"], form.date) for form in said["pin"] if form.date
            ),
            forbidden=tuple(
                ForbiddenPart(Part(form.cleaned_data["part"]), form.date) for form in said["forbid"]
            ),
            fixed=tuple(
                FixedMinutes(Part(form.cleaned_data["part"]), form.cleaned_data["minutes"])
                for form in said["fix"]
            ),
            free=tuple(
                FreeItem(number, form.cleaned_data["text"], form.cleaned_data["minutes"], form.date)
                for number, form in enumerate(said["free"], start=1)
            ),
        )


def _posted_rows(kind: str, form: type[WishForm], data: Mapping[str, Any] | None) -> int:
    if data is None:
        return 0
    filled = [n for n in range(MOST_WISHES) if data.get(f"{kind}-{n}-{form.first}")]
    return max(filled, default=-1) + 1


def _initial(kind: str, pins: Pins) -> list[dict[str, Any]]:
    if kind == "pin":
        return [{"key": each.key, "day": _text(each.date)} for each in pins.items]
    if kind == "forbid":
        return [{"part": each.part.value, "day": _text(each.date)} for each in pins.forbidden]
    if kind == "fix":
        return [{"part": each.part.value, "minutes": each.minutes} for each in pins.fixed]
    return [
        {"text": each.text, "minutes": each.minutes, "day": _text(each.date)} for each in pins.free
    ]


def _text(day: dt.date | None) -> str:
    return day.isoformat() if day else ""


def stored_pins(data: object) -> Pins:
    """Pins of an assignment row; what cannot be read any more is no wish."""
    try:
        return codec.from_json(Pins, data or {})
    except ValueError:
        return Pins()
