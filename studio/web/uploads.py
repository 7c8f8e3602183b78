"""A field that takes a file, with our sentences and a largest size."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.formats import localize
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

if TYPE_CHECKING:
    from django_stubs_ext import StrOrPromise

MEGABYTE = 1024**2
MESSAGES = {
    "required": _("Choose a file."),
    "empty": _("The file is empty."),
    "missing": _("The file did not arrive. Choose it again."),
}


class UploadField(forms.FileField):
    """`largest` counts bytes; `otherwise` says what to do with a larger file."""

    def __init__(
        self,
        label: StrOrPromise,
        *,
        accept: str,
        largest: int,
        otherwise: StrOrPromise,
        help_text: StrOrPromise = "",
    ) -> None:
        widget = forms.FileInput(attrs={"accept": accept})
        super().__init__(label=label, help_text=help_text, widget=widget, error_messages=MESSAGES)
        self.largest, self.otherwise = largest, otherwise

    def clean(self, data: Any, initial: Any = None) -> Any:
        file = super().clean(data, initial)
        size = file.size or 0
        if size > self.largest:
            rounded_up = math.ceil(10 * size / MEGABYTE) / 10
            sentence = gettext(
                "“{name}” has {megabytes} MB; at most {largest} MB can be taken. {otherwise}"
            )
            raise ValidationError(
                sentence.format(
                    name=(file.name or "")[:60],
                    megabytes=localize(rounded_up),
                    largest=self.largest // MEGABYTE,
                    otherwise=self.otherwise,
                )
            )
        return file
