"""The teacher's words."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from practice.reports.models import MOST_WORDS
from studio.web.forms import PlainForm


class WordsForm(PlainForm, forms.Form):
    words = forms.CharField(
        label=_("Your words"),
        required=False,
        max_length=MOST_WORDS,
        widget=forms.Textarea(attrs={"rows": 12, "spellcheck": "true", "class": "words-field"}),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        # A browser would cut what is pasted without a word; here it is told and stays.
        self.fields["words"].widget.attrs.pop("maxlength", None)
