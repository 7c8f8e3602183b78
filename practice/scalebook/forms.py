"""What a scale book is to hold."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import Any

from django import forms
from django.utils.translation import gettext, pgettext_lazy
from django.utils.translation import gettext_lazy as _

from practice.music.keys import ALL_KEYS, MAJOR, MINOR, Key
from practice.music.naming import tone_sign, tonic
from practice.repertoire.choices import MINOR_FORMS
from practice.scalebook.choices import Offer
from practice.scalebook.wish import MOST_PAGES, Wish
from studio.web.forms import PlainForm


def _round(mode: str) -> list[Key]:
    """From no sign by sharps, then by flats."""
    keys = [key for key in ALL_KEYS if key.mode == mode]
    return sorted(keys, key=lambda key: (key.signature < 0, abs(key.signature)))


def _key_choices() -> list[tuple[str, str]]:
    """Majors, then minors: the name of a key, and its tonic alone."""
    return [
        (key.name, tonic(tone_sign(key.step, key.alter), mode))
        for mode in (MAJOR, MINOR)
        for key in _round(mode)
    ]


class BookForm(PlainForm, forms.Form):
    keys = forms.MultipleChoiceField(
        label=_("Keys"),
        choices=_key_choices,
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )
    every_key = forms.BooleanField(label=_("All thirty keys"), required=False)
    octaves = forms.TypedChoiceField(
        label=_("Octaves"),
        choices=[
            (1, pgettext_lazy("octaves", "one")),
            (2, pgettext_lazy("octaves", "two")),
            (3, pgettext_lazy("octaves", "three")),
        ],
        coerce=int,
        widget=forms.RadioSelect,
    )
    minor_form = forms.ChoiceField(
        label=_("Minor keys as"), choices=MINOR_FORMS, widget=forms.RadioSelect
    )
    bowings = forms.MultipleChoiceField(
        label=_("Bowings"), required=False, widget=forms.CheckboxSelectMultiple
    )
    arpeggios = forms.MultipleChoiceField(
        label=_("Arpeggios"),
        choices=[
            ("tonic", _("on the tonic")),
            ("relative", _("of the relative key")),
            ("parallel", _("of the parallel key")),
            ("dominant7", _("dominant seventh")),
            ("diminished7", _("diminished seventh")),
        ],
        required=False,
        widget=forms.CheckboxSelectMultiple,
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
            yield gettext(group), list(pairs)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if "keys" in cleaned and not (cleaned["keys"] or cleaned.get("every_key")):
            self.add_error("keys", gettext("Keys is missing."))
        if not self.errors and self.wish.pages > MOST_PAGES:
            sentence = gettext(
                "That makes {pages} pages; a book has at most {most}. Choose fewer keys or bowings."
            )
            raise forms.ValidationError(sentence.format(pages=self.wish.pages, most=MOST_PAGES))
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
