"""Fields that several rows of the Bench use."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any, cast

from django import forms
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from practice.bench.widgets import Figures, Select
from practice.repertoire.library import surname
from practice.repertoire.models import FASTEST, SLOWEST, Work
from studio.language.days import weekday
from studio.people.models import MOST_MINUTES_A_DAY

# Values of a choice; "first" takes what is chosen where nothing is in hand yet, and may be empty.
KEEP, OTHER, FIRST = "keep", "other", "first"


class TempoField(forms.IntegerField):
    """Beats a minute, with a keyboard of figures."""

    def __init__(self, **options: Any) -> None:
        super().__init__(
            min_value=SLOWEST,
            max_value=FASTEST,
            widget=Figures({"maxlength": 4}),
            **options,
        )


def minutes_on(day: dt.date) -> str:
    return gettext("Minutes on {day}").format(day=weekday(day))


class MinutesField(forms.IntegerField):
    """A day's budget. Empty is a day off."""

    def __init__(self, day: dt.date) -> None:
        super().__init__(
            label=minutes_on(day),
            required=False,
            min_value=0,
            max_value=MOST_MINUTES_A_DAY,
        )

    def clean(self, value: Any) -> int:
        return super().clean(value) or 0


if TYPE_CHECKING:
    # Django's own class takes its model as a parameter only for the type checker.
    WorkChoiceField = forms.ModelChoiceField[Work]
else:
    WorkChoiceField = forms.ModelChoiceField


class WorkField(WorkChoiceField):
    """A work of the catalogue, told by its composer's surname."""

    def __init__(self, **options: Any) -> None:
        super().__init__(queryset=Work.objects.none(), required=False, widget=Select, **options)
        self.error_messages["invalid_choice"] = _("That work is not in the catalogue any more.")

    def label_from_instance(self, obj: Work) -> str:
        by = surname(obj.told_composer)
        return f"{by}: {obj.short_title}" if by else obj.short_title


def choices_of(form: forms.Form, name: str) -> forms.ModelChoiceField[Any]:
    return cast("forms.ModelChoiceField[Any]", form.fields[name])
