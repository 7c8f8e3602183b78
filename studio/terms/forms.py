"""Terms and closures as the teacher types them in."""

from __future__ import annotations

import datetime as dt
from typing import Any

from django import forms
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db.models import QuerySet
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from studio.terms.models import Closure, Term
from studio.terms.public_holidays import countries, regions
from studio.web.days import long_day
from studio.web.forms import PlainForm
from studio.web.model_form import ModelForm

LONGEST_TERM = dt.timedelta(days=400)
LONGEST_CLOSURE = dt.timedelta(days=200)
_YEARS = [
    MinValueValidator(dt.date(1990, 1, 1), _("The year of %(show_value)s is too early.")),
    MaxValueValidator(dt.date(2100, 1, 1), _("The year of %(show_value)s is too late.")),
]


def day_field(**options: Any) -> forms.DateField:
    widget = forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"})
    return forms.DateField(widget=widget, validators=_YEARS, **options)


class StretchForm(PlainForm):
    """A named stretch of days: the end is not before the start, and nobody means forty years."""

    longest: dt.timedelta
    cleaned_data: dict[str, Any]

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        starts, ends = cleaned.get("starts"), cleaned.get("ends")
        if starts and ends and ends < starts:
            sentence = gettext("{last} lies before the first day, {first}.")
            self.add_error("ends", sentence.format(last=long_day(ends), first=long_day(starts)))
        elif starts and ends and ends - starts > self.longest:
            days = (ends - starts).days
            sentence = gettext("{days} days are more than {most}.")
            self.add_error("ends", sentence.format(days=days, most=self.longest.days))
        return cleaned


class TermForm(StretchForm, ModelForm[Term]):
    longest = LONGEST_TERM
    starts = day_field(label=_("First day"))
    ends = day_field(label=_("Last day"))

    class Meta:
        model = Term
        fields = ["name", "starts", "ends"]
        labels = {"name": _("Name")}
        widgets = {"name": forms.TextInput(attrs={"placeholder": _("Autumn term 2026")})}

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        starts, ends = cleaned.get("starts"), cleaned.get("ends")
        if self.errors or not starts or not ends:
            return cleaned
        if starts == ends:
            sentence = gettext("A term of one day, {day}, is too short.")
            self.add_error("ends", sentence.format(day=long_day(ends)))
        other = overlapping(self.instance, starts, ends).first()
        if other is not None:
            sentence = gettext(
                "{term} is from {first} to {last}; two terms cannot share a day."
            ).format(term=other.name, first=long_day(other.starts), last=long_day(other.ends))
            self.add_error("starts", sentence)
        return cleaned


def overlapping(term: Term, starts: dt.date, ends: dt.date) -> QuerySet[Term]:
    """Other terms of the studio that share a day with this stretch."""
    others = Term.objects.of(term.studio).exclude(pk=term.pk)
    return others.filter(starts__lte=ends, ends__gte=starts)


class ClosureForm(StretchForm, ModelForm[Closure]):
    longest = LONGEST_CLOSURE
    starts = day_field(label=_("First closed day"))
    ends = day_field(label=_("Last closed day"))

    class Meta:
        model = Closure
        fields = ["name", "starts", "ends"]
        labels = {"name": _("Name")}
        widgets = {"name": forms.TextInput(attrs={"placeholder": _("Half-term")})}


class CountryForm(PlainForm, forms.Form):
    """Which country's public holidays to offer; the region's own after a country is chosen."""

    country = forms.ChoiceField(label=_("Country"), choices=[])
    region = forms.ChoiceField(
        label=_("Region"), required=False, choices=[("", _("the whole country"))]
    )

    def __init__(self, *args: Any, country: str = "", **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, choices in (
            ("country", [("", _("Choose")), *countries()]),
            (
                "region",
                [("", _("the whole country")), *((code, code) for code in regions(country))],
            ),
        ):
            field = self.fields[name]
            assert isinstance(field, forms.ChoiceField)  # noqa: S101  (for the type checker)
            field.choices = choices
