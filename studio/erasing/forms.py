"""What stays when a family is erased, and the password before it."""

from __future__ import annotations

from typing import Any

from django import forms
from django.forms.boundfield import BoundWidget
from django.utils.translation import gettext_lazy as _
from django.utils.translation import ngettext

from studio.backups.forms import ConfirmForm
from studio.erasing.erase import Trace


class EraseForm(ConfirmForm):
    """`found` are the names that stand elsewhere, `backups` how many there are to let go."""

    field_order = ("keep_ledger", "take_out", "let_go", "old_password")

    keep_ledger = forms.BooleanField(
        label=_("Set the ledger apart: day, minutes and status of each lesson, without names"),
        required=False,
        initial=True,
        help_text=_("Books must commonly be kept for years; local law says which and how long."),
    )

    def __init__(self, *args: Any, found: list[Trace], backups: int, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.found = found
        self.fields["take_out"] = forms.MultipleChoiceField(
            label=_("Also take out of your own words"),
            required=False,
            choices=[(trace.term, trace.term) for trace in found],
            initial=[trace.term for trace in found if not trace.borne],
            widget=forms.CheckboxSelectMultiple,
            help_text=_("Each ticked name is replaced by … wherever it stands in this studio."),
        )
        self.fields["let_go"] = forms.BooleanField(
            label=ngettext(
                "Make a fresh backup afterwards and delete the one made before",
                "Make a fresh backup afterwards and delete the {n} made before",
                backups,
            ).format(n=backups),
            required=False,
        )
        self.order_fields(self.field_order)
        if not found:
            del self.fields["take_out"]
        if not backups:
            del self.fields["let_go"]

    def traces(self) -> list[tuple[BoundWidget, Trace]]:
        """Each tick with what it stands for."""
        return list(zip(self["take_out"], self.found, strict=True))
