"""A new link: who holds it, whom it opens for, and until when."""

from __future__ import annotations

import datetime as dt
from typing import Any
from zoneinfo import ZoneInfo

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from practice.home.links import alone, everybody
from studio.links.models import HomeLink
from studio.people.models import Family, Student, one_line
from studio.web.forms import PlainForm

ALL = "all"


class LinkForm(PlainForm, forms.Form):
    """For a grown-up: offers the children of the family, all of them or one."""

    label = forms.CharField(
        label=_("Who gets it"),
        max_length=80,
        required=False,
        validators=[one_line],
        help_text=_("A name for you alone, so that you know which one to shut."),
        widget=forms.TextInput(attrs={"list": "grown-ups", "autocomplete": "off"}),
    )
    opens = forms.ChoiceField(label=_("Opens"), widget=forms.RadioSelect)
    last_day = forms.DateField(
        label=_("Last day"),
        required=False,
        help_text=_("Without one it works until you shut it."),
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    )

    def __init__(self, *args: Any, family: Family, today: dt.date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.family, self.today = family, today
        self.children = list(
            family.students.exclude(status=Student.Status.LEFT).select_related("family__studio")
        )
        choices = [(str(each.pk), alone(each)) for each in self.children]
        if len(self.children) != 1:
            choices.insert(0, (ALL, everybody()))
        self.fields["opens"] = forms.ChoiceField(
            label=_("Opens"), widget=forms.RadioSelect, choices=choices
        )
        self.initial.setdefault("opens", choices[0][0])

    def clean_last_day(self) -> dt.date | None:
        day: dt.date | None = self.cleaned_data["last_day"]
        if day is not None and day < self.today:
            sentence = gettext("{day} is over. Choose a day to come, or none.")
            raise ValidationError(sentence.format(day=f"{day:%d.%m.%Y}"))
        return day

    def link(self) -> HomeLink:
        """The link as asked for, not yet issued."""
        said = self.cleaned_data
        day: dt.date | None = said["last_day"]
        zone = ZoneInfo(self.family.studio.zone)
        after = day + dt.timedelta(days=1) if day else None
        return HomeLink(
            family=self.family,
            label=said["label"].strip(),
            opens=HomeLink.Opens.FAMILY if said["opens"] == ALL else HomeLink.Opens.STUDENT,
            student_id=None if said["opens"] == ALL else int(said["opens"]),
            expires=dt.datetime.combine(after, dt.time(), zone) if after else None,
        )

    def opened(self) -> list[Student]:
        """The children it opens for."""
        asked = self.cleaned_data["opens"]
        return [each for each in self.children if asked in (ALL, str(each.pk))]
