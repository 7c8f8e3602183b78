"""A recital, one of its pieces, and thanks, as the teacher types them in."""

from __future__ import annotations

import datetime as dt
from typing import Any

from django import forms
from django.utils.translation import gettext, pgettext_lazy
from django.utils.translation import gettext_lazy as _

from practice.programme import timing
from practice.recitals.models import CHARACTERS, MOST_WORDS, Performance, Programme
from practice.recitals.pieces import alone, already_there
from studio.lessons.booking import Refused, instant
from studio.people.models import Student
from studio.terms.forms import day_field
from studio.terms.models import Recital
from studio.web.forms import PlainForm
from studio.web.model_form import ModelForm


class RecitalForm(PlainForm, ModelForm[Recital]):
    date = day_field(label=_("Day"))

    class Meta:
        model = Recital
        fields = ["name", "date", "starts", "place", "minutes"]
        labels = {
            "name": _("Name"),
            "starts": _("Begins at"),
            "place": pgettext_lazy("where it is", "Place"),
            "minutes": _("Length wished for, in minutes"),
        }
        widgets = {
            "name": forms.TextInput(attrs={"placeholder": _("Winter recital")}),
            "starts": forms.TimeInput(format="%H:%M", attrs={"type": "time"}),
            "place": forms.TextInput(attrs={"placeholder": _("Town library, small hall")}),
        }

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        day, starts = cleaned.get("date"), cleaned.get("starts")
        if isinstance(day, dt.date) and isinstance(starts, dt.time):
            try:
                instant(self.instance.studio, day, starts)
            except Refused as reason:
                self.add_error("starts", str(reason))
        return cleaned


class ProgrammeForm(PlainForm, ModelForm[Programme]):
    class Meta:
        model = Programme
        fields = [
            *("accompanist", "most_with_piano", "siblings", "change_seconds", "interval_minutes"),
        ]
        labels = {
            "accompanist": _("Who accompanies"),
            "most_with_piano": _("Pieces with piano in a row, at most"),
            "siblings": _("Children of one family play"),
            "change_seconds": _("Seconds between two pieces"),
            "interval_minutes": _("Minutes of an interval"),
        }
        help_texts = {
            "most_with_piano": _("0: as many as there are."),
            "change_seconds": _("To bow, to tune, to come and go."),
        }
        widgets = {"siblings": forms.RadioSelect}


class LengthField(forms.CharField):
    """Minutes and seconds as "2:30", kept as seconds; empty: nobody has taken the time."""

    def __init__(self, **options: Any) -> None:
        attrs = {"class": "short", "inputmode": "text", "autocomplete": "off"}
        options.setdefault("widget", forms.TextInput(attrs=attrs))
        super().__init__(required=False, label=_("Length"), max_length=20, **options)

    def prepare_value(self, value: Any) -> Any:
        return timing.said(value) if isinstance(value, int) else value

    def clean(self, value: Any) -> Any:
        text = super().clean(value)
        if not text:
            return None
        seconds = timing.read(text)
        if seconds is None:
            words = gettext("“{text}” is no length. Write minutes and seconds: 2:30.")
            raise forms.ValidationError(words.format(text=text))
        if not timing.SHORTEST <= seconds <= timing.LONGEST:
            words = gettext(
                "{length} is no length of a piece; from {shortest} to {longest}."
            ).format(
                length=timing.said(seconds),
                shortest=timing.said(timing.SHORTEST),
                longest=timing.said(timing.LONGEST),
            )
            raise forms.ValidationError(words)
        return seconds


class RowForm(PlainForm, ModelForm[Performance]):
    """What is typed for all pieces on one page."""

    seconds = LengthField()
    character = forms.ChoiceField(label=_("Slow or fast"), choices=CHARACTERS)

    class Meta:
        model = Performance
        fields = ["seconds", "character", "with_piano"]
        labels = {"with_piano": _("With piano")}


class PerformanceForm(RowForm):
    """One piece by itself: also who plays it together with the student."""

    seconds = LengthField(help_text=_("Minutes and seconds, like 2:30."))
    character = forms.ChoiceField(
        label=_("Slow or fast"), choices=CHARACTERS, widget=forms.RadioSelect
    )

    class Meta(RowForm.Meta):
        fields = ["seconds", "character", "with_piano", "partner"]
        labels = {**RowForm.Meta.labels, "partner": _("Played together with")}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        studio = self.instance.programme.recital.studio
        others = Student.objects.of(studio).learning().exclude(pk=self.instance.student_id)
        partner = self.fields["partner"]
        assert isinstance(partner, forms.ModelChoiceField)  # noqa: S101  (for the type checker)
        partner.queryset, partner.empty_label = others, gettext("nobody")

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        partner = cleaned.get("partner")
        if partner is not None:
            self.instance.partner = partner
            other = already_there(self.instance)
            if other is not None and not alone(other, partner):
                words = gettext("{name} already plays {work} in this programme.")
                self.add_error("partner", words.format(name=partner.given_name, work=other.work))
        return cleaned


class ThanksForm(PlainForm, forms.Form):
    """Words for all, and one field a player for words of her own."""

    thanks = forms.CharField(
        label=_("Your words to everybody"),
        required=False,
        max_length=MOST_WORDS,
        widget=forms.Textarea(attrs={"class": "carved", "rows": 4}),
        help_text=_("[name] becomes the first name."),
    )

    def __init__(self, *args: Any, players: list[tuple[int, str]], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for pk, name in players:
            self.fields[f"words_{pk}"] = forms.CharField(
                label=gettext("To {name} in other words").format(name=name),
                required=False,
                max_length=MOST_WORDS,
                widget=forms.Textarea(attrs={"class": "carved", "rows": 2}),
            )
        self.phrase()
