"""The teacher's words."""

from __future__ import annotations

from django import forms

from practice.reports.models import MOST_WORDS
from studio.web.forms import PlainForm


class WordsForm(PlainForm, forms.Form):
    words = forms.CharField(
        label="Your words",
        required=False,
        max_length=MOST_WORDS,
        widget=forms.Textarea(
            attrs={"rows": 12, "spellcheck": "true", "class": "words-field", "maxlength": False}
        ),
    )
