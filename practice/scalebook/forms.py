"""What a scale book is to hold."""

from __future__ import annotations

from typing import Any

from django import forms

from practice.music.bowing_list import BOWINGS
from practice.music.bowings import Pattern
from practice.repertoire.forms import MAJOR_KEYS, MINOR_KEYS
from practice.repertoire.models import ScaleInHand
from practice.scalebook.book import ARPEGGIOS, MOST_PAGES, Wish
from studio.web.forms import PlainForm

MINOR_FORMS = [(f.value, f.label) for f in ScaleInHand.Form if f != ScaleInHand.Form.MAJOR]


class BookForm(PlainForm, forms.Form):
    keys = forms.MultipleChoiceField(
        choices=[(name, name) for name in (*MAJOR_KEYS, *MINOR_KEYS)],
        widget=forms.CheckboxSelectMultiple,
    )
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

    def __init__(self, *args: Any, own: dict[str, Pattern], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.known = own | {pattern.slug: pattern for pattern in BOWINGS}
        choices = [(name, pattern.name) for name, pattern in self.known.items()]
        self.fields["bowings"].choices = choices  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if not self.errors and self.wish.pages > MOST_PAGES:
            raise forms.ValidationError(
                f"That makes {self.wish.pages} pages; a book has at most {MOST_PAGES}. "
                "Choose fewer keys or bowings."
            )
        return cleaned

    @property
    def wish(self) -> Wish:
        given = self.cleaned_data
        return Wish(
            keys=tuple(given["keys"]),
            octaves=given["octaves"],
            minor_form=given["minor_form"],
            bowings=tuple(self.known[name] for name in given["bowings"]),
            arpeggios=tuple(given["arpeggios"]),
        )
