"""What every form of the program shares: sentences that name the value, and no uploads."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any, cast

from django import forms
from django.core.files.uploadedfile import UploadedFile
from django.core.validators import (
    MaxLengthValidator,
    MaxValueValidator,
    MinLengthValidator,
    MinValueValidator,
)
from django.http import HttpRequest
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

if TYPE_CHECKING:
    from django_stubs_ext import StrOrPromise

LONGEST_QUOTE = 40

LIMITS = {
    MaxLengthValidator: _("%(show_value)d characters are too many; at most %(limit_value)d fit."),
    MinLengthValidator: _("%(show_value)d characters are too few; write at least %(limit_value)d."),
    MaxValueValidator: _("%(show_value)s is too much; at most %(limit_value)s."),
    MinValueValidator: _("%(show_value)s is too little; at least %(limit_value)s."),
}
KINDS: tuple[tuple[type[forms.Field], StrOrPromise], ...] = (
    (forms.IntegerField, _("“{typed}” is not a whole number.")),
    (forms.DateField, _("“{typed}” is not a day. Write it like 2026-09-14.")),
    (forms.TimeField, _("“{typed}” is not a time of day. Write it like 16:15.")),
)


class PlainForm(forms.BaseForm):
    """Mixed into a form without file fields, bound as `Form(request.POST, request.FILES)`."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.phrase()

    def phrase(self) -> None:
        """Puts our sentences on the fields; to be called again by a form that adds fields."""
        for name, field in self.fields.items():
            label = field.label or name.replace("_", " ").capitalize()
            field.error_messages["required"] = gettext("{label} is missing.").format(label=label)
            if isinstance(field, forms.EmailField):
                field.error_messages["invalid"] = _("“%(value)s” is not an e-mail address.")
            for kind, sentence in KINDS:
                if isinstance(field, kind):
                    field.error_messages["invalid"] = sentence.format(typed=self._typed(name))
            if isinstance(field.widget, forms.TextInput | forms.Textarea):
                field.widget.attrs.setdefault("dir", "auto")  # each writes in her own direction
            field.validators = [_with_sentence(validator) for validator in field.validators]

    def clean(self) -> dict[str, Any] | None:
        for upload in cast(Iterable[UploadedFile], self.files.values()):
            sentence = gettext("“{name}” was not taken: no file belongs on this page.")
            self.add_error(None, sentence.format(name=_quoted(upload.name)))
        return super().clean()

    def _typed(self, name: str) -> str:
        if not self.is_bound:
            return ""
        widget = self.fields[name].widget
        return _quoted(widget.value_from_datadict(self.data, self.files, self.add_prefix(name)))


def _quoted(value: Any) -> str:
    text = str(value or "")
    return text if len(text) <= LONGEST_QUOTE else f"{text[: LONGEST_QUOTE - 1]}…"


def _with_sentence(validator: Any) -> Any:
    """The same limit with our sentence; other validators, and sentences of their own, stay."""
    sentence = LIMITS.get(type(validator))
    if sentence and validator.message != type(validator).message:
        return validator
    return type(validator)(validator.limit_value, sentence) if sentence else validator


def posted(request: HttpRequest) -> dict[str, Any]:
    """Keyword arguments that bind a form to what was posted, and leave it unbound otherwise."""
    if request.method != "POST":
        return {}
    return {"data": request.POST, "files": request.FILES}


def answer(form: forms.BaseForm) -> int:
    """The status of a page with this form: 422 when it came back with sentences."""
    return 422 if form.is_bound else 200
