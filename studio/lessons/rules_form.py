"""The teacher's own rules for changes, as she types them."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _

from studio.lessons.forms import time_input
from studio.lessons.models import LessonRules
from studio.web.forms import PlainForm
from studio.web.model_form import ModelForm


class RulesForm(PlainForm, ModelForm[LessonRules]):
    class Meta:
        model = LessonRules
        fields = [
            "notice_hours",
            "late_is_made_up",
            "missed_is_made_up",
            "expiry",
            "expiry_weeks",
            "travel_minutes",
            "day_opens",
            "day_closes",
        ]
        labels = {
            "notice_hours": _("Hours of notice for a cancellation"),
            "late_is_made_up": _("A lesson cancelled later than that is made up too"),
            "missed_is_made_up": _("A missed lesson is made up"),
            "expiry": _("The right to a make-up ends"),
            "expiry_weeks": _("Weeks"),
            "travel_minutes": _("Minutes you need from one place to another"),
            "day_opens": _("Your teaching day begins"),
            "day_closes": _("Your teaching day ends"),
        }
        help_texts = {
            "expiry": _("For lessons the family cancelled. What you cancel you owe without end."),
            "day_closes": _("Free times are offered between the two."),
        }
        widgets = {
            "expiry": forms.RadioSelect,
            "day_opens": time_input(),
            "day_closes": time_input(),
            "notice_hours": forms.NumberInput(attrs={"class": "short"}),
            "expiry_weeks": forms.NumberInput(attrs={"class": "short"}),
            "travel_minutes": forms.NumberInput(attrs={"class": "short"}),
        }
