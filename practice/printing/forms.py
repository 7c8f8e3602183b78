"""Which week's sheets are wanted."""

from __future__ import annotations

from django import forms

from studio.web.forms import PlainForm


class WeekForm(PlainForm, forms.Form):
    week = forms.DateField(label="Week")
