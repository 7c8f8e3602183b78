"""A file to drop, and what is wrong in the tapped bars."""

from __future__ import annotations

import re
from typing import Any

from django import forms
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from practice.engraving.reading import KINDS
from practice.repertoire.forms import tempo_field
from practice.repertoire.models import FASTEST, SLOWEST, PieceInHand, Spot
from studio.web.forms import PlainForm

ACCEPT = ".musicxml,.xml,.mxl,.abc,.mei"
USUAL_TEMPO = 80


class FileForm(forms.Form):
    file = forms.FileField(
        label=_("The score"),
        error_messages={"required": _("Choose a file first."), "empty": _("The file is empty.")},
        widget=forms.FileInput(attrs={"accept": ACCEPT}),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        words = gettext("{kinds}, at most 5 MB, with the violin’s part.")
        self.fields["file"].help_text = words.format(kinds=gettext(KINDS))


class TappedSpotForm(PlainForm, forms.Form):
    piece = forms.TypedChoiceField(label=_("Whose piece"), coerce=int)
    what = forms.CharField(
        label=_("What to do there"),
        max_length=200,
        validators=Spot._meta.get_field("what").validators,
        help_text=_("Said to the student: elbow leads to the D string."),
    )
    tempo_now = tempo_field(_("Tempo now"), initial=60)
    tempo_goal = tempo_field(_("Tempo wanted"), initial=USUAL_TEMPO)
    easier_key = forms.CharField(label=_("First in a simpler key"), required=False, max_length=30)

    def __init__(self, *args: Any, pieces: list[PieceInHand], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.pieces = {piece.pk: piece for piece in pieces}
        field = self.fields["piece"]
        field.choices = [(piece.pk, piece.student.full_name) for piece in pieces]  # type: ignore[attr-defined]
        field.error_messages["invalid_choice"] = _("Choose a student who has this piece in hand.")

    @property
    def chosen_piece(self) -> PieceInHand:
        return self.pieces[self.cleaned_data["piece"]]


def tempo_from(text: str, usual: int = USUAL_TEMPO) -> int:
    """Beats a minute from an address; what is no tempo is the usual one."""
    if re.fullmatch(r"[0-9]{2,3}", text) and SLOWEST <= int(text) <= FASTEST:
        return int(text)
    return usual


def page_from(text: str) -> int:
    """A page's number from an address; what is none is the first."""
    return max(1, int(text)) if re.fullmatch(r"[0-9]{1,3}", text) else 1


def places_from(texts: list[str]) -> list[int]:
    """Places of tapped bars, from 0; the page counts them from 1."""
    return [int(text) - 1 for text in texts if re.fullmatch(r"[0-9]{1,4}", text)]
