"""A field that takes a file, with our sentences and a largest size."""

from __future__ import annotations

import math
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

MEGABYTE = 1024**2
MESSAGES = {
    "required": "Choose a file.",
    "empty": "The file is empty.",
    "missing": "The file did not arrive. Choose it again.",
}


class UploadField(forms.FileField):
    """`largest` counts bytes; `otherwise` says what to do with a larger file."""

    def __init__(
        self, label: str, *, accept: str, largest: int, otherwise: str, help_text: str = ""
    ) -> None:
        widget = forms.FileInput(attrs={"accept": accept})
        super().__init__(label=label, help_text=help_text, widget=widget, error_messages=MESSAGES)
        self.largest, self.otherwise = largest, otherwise

    def clean(self, data: Any, initial: Any = None) -> Any:
        file = super().clean(data, initial)
        size = file.size or 0
        if size > self.largest:
            rounded_up = math.ceil(10 * size / MEGABYTE) / 10
            raise ValidationError(
                f"“{(file.name or '')[:60]}” has {rounded_up} MB; at most "
                f"{self.largest // MEGABYTE} MB can be taken. {self.otherwise}"
            )
        return file
