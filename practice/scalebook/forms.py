"""What a scale book is to hold."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import Any

from django import forms

from practice.music.keys import ALL_KEYS, MAJOR, MINOR, Key
from practice.repertoire.models import ScaleInHand
from practice.scalebook.book import ARPEGGIOS
from practice.scalebook.choices import Offer
from practice.scalebook.wish import MOST_PAGES, Wish
from studio.web.forms import PlainForm

MINOR_FORMS = [(f.value, f.label) for f in ScaleInHand.Form if f != ScaleInHand.Form.MAJOR]


def _round(mode: str) -> list[Key]:
    """From no sign by sharps, then by flats."""
    keys = [key for key in ALL_KEYS if key.mode == mode]
    return sorted(keys, key=lambda key: (key.signature < 0, abs(key.signature)))


class BookForm(PlainForm, forms.Form):
    keys = forms.MultipleChoiceField(
        choices=[
            (mode.capitalize(), [(key.name, key.sign) for key in _round(mode)])
            for mode in (MAJOR, MINOR)
        ],
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )
    every_key = forms.BooleanField(label="All thirty keys", required=False)
    octaves = forms.TypedChoiceField(
        choices=[(1, "one"), (2, "two"), (3, "three")], coerce=int, widget=forms.RadioSelect
    )
    minor_form = forms.ChoiceField(
        label="Minor keys as", choices=MINOR_FORMS, widget=forms.RadioSelect
    )
    bowings = forms.MultipleChoiceField(required=False, widget=forms.CheckboxSelectMultiple)
    arpeggios = forms.MultipleChoiceField(
        choices=ARPEGGIOS, required=False, widget=forms.CheckboxSelectMultiple
    )

    def __init__(self, *args: Any, offers: Sequence[Offer], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.offers = {offer.id: offer for offer in offers}
        choices = [(offer.id, offer.bowed.pattern.name) for offer in offers]
        self.fields["bowings"].choices = choices  # type: ignore[attr-defined]

    def key_rows(self) -> Iterator[tuple[str, list[Any]]]:
        """ "major" and "minor", each with its tick boxes."""
        boxes = list(self["keys"])
        half = len(boxes) // 2
        yield from ((MAJOR, boxes[:half]), (MINOR, boxes[half:]))

    def bowing_groups(self) -> Iterator[tuple[str, list[tuple[Any, Offer]]]]:
        """Each heading with its tick boxes and what they stand for."""
        boxes = list(zip(self["bowings"], self.offers.values(), strict=True))
        for group, pairs in groupby(boxes, key=lambda pair: pair[1].group):
            yield group, list(pairs)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if "keys" in cleaned and not (cleaned["keys"] or cleaned.get("every_key")):
            self.add_error("keys", "Keys is missing.")
        if not self.errors and self.wish.pages > MOST_PAGES:
            raise forms.ValidationError(
                f"That makes {self.wish.pages} pages; a book has at most {MOST_PAGES}. "
                "Choose fewer keys or bowings."
            )
        return cleaned

    @property
    def wish(self) -> Wish:
        given = self.cleaned_data
        every = [key.name for mode in (MAJOR, MINOR) for key in _round(mode)]
        return Wish(
            keys=tuple(key for key in every if given["every_key"] or key in given["keys"]),
            octaves=given["octaves"],
            minor_form=given["minor_form"],
            bowings=tuple(self.offers[name].bowed for name in given["bowings"]),
            arpeggios=tuple(given["arpeggios"]),
        )
