"""The file of a list, what its columns are, and what of it comes."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from studio.roster.headings import WORDS, Kind
from studio.roster.people import ORDERS
from studio.roster.tables import LARGEST_FILE
from studio.web.forms import PlainForm
from studio.web.uploads import UploadField


class ListForm(forms.Form):
    file = UploadField(
        _("The list (.csv or .xlsx)"),
        accept=".csv,.txt,.tsv,.xlsx,text/csv",
        largest=LARGEST_FILE,
        otherwise=_("Save the list alone."),
        help_text=_(
            "One student a line, with a first line of headings. The columns may stand in any "
            "order; those the program does not need may stay in."
        ),
    )


class ColumnsForm(PlainForm, forms.Form):
    """One select a column; each kind at most once."""

    headless = forms.BooleanField(
        label=_("The first line is a student already, not headings"), required=False
    )
    order = forms.ChoiceField(label=_("Days such as 05/03/2014 are"), choices=list(ORDERS.items()))

    def __init__(self, *args: Any, headings: list[str], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.headings = headings
        self.columns = [f"column_{place}" for place in range(len(headings))]
        for name, heading in zip(self.columns, headings, strict=True):
            self.fields[name] = forms.ChoiceField(
                label=heading, choices=list(WORDS.items()), required=False
            )
        self.phrase()

    @property
    def kinds(self) -> list[Kind]:
        """What each column is, as chosen; as proposed before anything was."""
        given = self.cleaned_data if self.is_bound else self.initial
        return [Kind(given.get(name) or "") for name in self.columns]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        first: dict[str, str] = {}
        for name, heading in zip(self.columns, self.headings, strict=True):
            kind = cleaned.get(name)
            if kind and kind in first:
                said = gettext("“{heading}” is “{kind}” already; choose another.")
                self.add_error(name, said.format(heading=first[kind], kind=WORDS[Kind(kind)]))
            elif kind:
                first[kind] = heading
        return cleaned
