"""Which week's sheets are wanted."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _

from studio.web.forms import PlainForm


class WeekForm(PlainForm, forms.Form):
    week = forms.DateField(label=_("Week"))
