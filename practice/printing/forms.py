"""Which week's sheets are wanted."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _

from studio.lessons.forms import day_field
from studio.web.forms import PlainForm


class WeekForm(PlainForm, forms.Form):
    week = day_field(label=_("Week"))
