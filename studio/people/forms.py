"""Families, guardians and students as the teacher types them in."""

from __future__ import annotations

import datetime as dt
from typing import Any

from django import forms
from django.db import transaction
from django.forms import BoundField
from django.utils.dates import WEEKDAYS as DAY_NAMES
from django.utils.dates import WEEKDAYS_ABBR
from django.utils.text import format_lazy
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from studio.access.models import Studio
from studio.people.models import THE_STUDENT, WEEKDAYS, Family, Guardian, Student, one_line
from studio.web.days import long_day
from studio.web.forms import PlainForm
from studio.web.model_form import ModelForm
from studio.web.wall_clock import wall_time

SESSIONS = (1, 2, 3)
SIZE_FIELDS = {size: f"size_{n}" for n, size in enumerate(Student.Size.values)}
ROUTINE_FIELDS = [
    "instrument_size",
    "sheet_style",
    *[f"minutes_{day}" for day in WEEKDAYS],
    *[f"session_{n}" for n in SESSIONS],
    *[f"session_{n}_starts" for n in SESSIONS],
]
OLDEST_YEARS = 110


def day_input() -> forms.DateInput:
    return forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"})


def time_input() -> forms.TimeInput:
    return forms.TimeInput(attrs={"type": "time"}, format="%H:%M")


class FamilyForm(PlainForm, ModelForm[Family]):
    class Meta:
        model = Family
        fields = ["name", "notes", "shares_violin", "shared_from", "shared_until"]
        labels = {
            "name": _("Family name"),
            "notes": _("Notes"),
            "shares_violin": _("The children share one violin or one hour"),
            "shared_from": _("They play from"),
            "shared_until": _("Until"),
        }
        help_texts = {
            "notes": _("For you alone; nothing of it is printed or sent."),
            "shares_violin": _(
                "Their sessions then get times that never overlap, and take turns at"
                " being first. The Bench and the sheet show the times."
            ),
        }
        widgets = {
            "notes": forms.Textarea(attrs={"rows": 3}),
            "shared_from": time_input(),
            "shared_until": time_input(),
        }

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        begins, ends = cleaned.get("shared_from"), cleaned.get("shared_until")
        if begins and ends and ends <= begins:
            said = [wall_time(time, self.instance.studio) for time in (begins, ends)]
            sentence = gettext("{ends} is not after {begins}, when they begin.")
            self.add_error("shared_until", sentence.format(begins=said[0], ends=said[1]))
        if (begins or ends) and not cleaned.get("shares_violin"):
            sentence = gettext("A shared time is given: tick this, or empty both times.")
            self.add_error("shares_violin", sentence)
        return cleaned


class GuardianForm(PlainForm, ModelForm[Guardian]):
    class Meta:
        model = Guardian
        fields = ["name", "relation", "email", "phone"]
        labels = {
            "name": _("Name"),
            "email": _("E-mail"),
            "relation": _("Relation"),
            "phone": _("Phone"),
        }
        widgets = {
            "relation": forms.TextInput(attrs={"placeholder": _("mother, uncle, carer …")}),
            "phone": forms.TextInput(attrs={"type": "tel"}),
        }


class RoutineForm(PlainForm, ModelForm[Student]):
    """The part of a student's form that shapes a practice week. `week_start`: Monday is 0."""

    def __init__(self, *args: Any, today: dt.date, week_start: int = 0, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = today
        self.week_start = week_start

    @property
    def minute_fields(self) -> list[tuple[str, BoundField]]:
        """Short day name and field, in the studio's week order."""
        days = range(self.week_start, self.week_start + 7)
        return [(str(WEEKDAYS_ABBR[day % 7]), self[f"minutes_{WEEKDAYS[day % 7]}"]) for day in days]

    @property
    def session_fields(self) -> list[tuple[BoundField, BoundField]]:
        return [(self[f"session_{n}"], self[f"session_{n}_starts"]) for n in SESSIONS]

    def clean_birth_date(self) -> dt.date | None:
        born: dt.date | None = self.cleaned_data["birth_date"]
        if born and born > self.today:
            sentence = gettext("{day} is still to come.")
            raise forms.ValidationError(sentence.format(day=long_day(born)))
        if born and born.year < self.today.year - OLDEST_YEARS:
            sentence = gettext("{day} is more than {n} years ago.")
            raise forms.ValidationError(sentence.format(day=long_day(born), n=OLDEST_YEARS))
        return born

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        for n in SESSIONS:
            if cleaned.get(f"session_{n}_starts") and not cleaned.get(f"session_{n}"):
                self.add_error(f"session_{n}", gettext("It has a start but no name."))
        return cleaned

    class Meta:
        model = Student
        fields = ["given_name", "family_name", "birth_date", *ROUTINE_FIELDS]
        labels = {
            "given_name": _("First name"),
            "family_name": _("Family name"),
            "birth_date": _("Day of birth"),
            "instrument_size": _("Violin"),
            "sheet_style": _("Practice sheet"),
            "started": _("First day with you"),
            "notes": _("Notes"),
            **{
                f"minutes_{day}": format_lazy(_("Minutes on {day}"), day=DAY_NAMES[n])
                for n, day in enumerate(WEEKDAYS)
            },
            **{f"session_{n}": format_lazy(_("Session {n}"), n=n) for n in SESSIONS},
            **{f"session_{n}_starts": format_lazy(_("Session {n} starts"), n=n) for n in SESSIONS},
        }
        help_texts = {"notes": _("For you alone; nothing of it is printed or sent.")}
        widgets = {
            "birth_date": day_input(),
            "started": day_input(),
            "sheet_style": forms.RadioSelect,
            "notes": forms.Textarea(attrs={"rows": 4}),
            **{f"session_{n}_starts": time_input() for n in SESSIONS},
        }


class StudentForm(RoutineForm):
    class Meta(RoutineForm.Meta):
        fields = [*RoutineForm.Meta.fields, "started", "notes"]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        left = self.instance.left
        if left and cleaned.get("started") and cleaned["started"] > left:
            sentence = gettext("The student left on {day}, before this day.")
            self.add_error("started", sentence.format(day=long_day(left)))
        return cleaned


class FirstStudentForm(RoutineForm):
    """A new family with its first student on one screen."""

    is_adult = forms.BooleanField(
        label=_("An adult, who gets the letters himself or herself"), required=False
    )
    guardian_name = forms.CharField(
        label=_("Guardian"), required=False, max_length=120, validators=[one_line]
    )
    relation = GuardianForm.base_fields["relation"]
    email = GuardianForm.base_fields["email"]
    phone = GuardianForm.base_fields["phone"]

    class Meta(RoutineForm.Meta):
        fields = [*RoutineForm.Meta.fields, "started"]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        reachable = cleaned.get("email") or cleaned.get("phone")
        if reachable and not cleaned.get("guardian_name") and not cleaned.get("is_adult"):
            sentence = gettext("Whose is “{address}”? Name the guardian, or tick adult.")
            self.add_error("guardian_name", sentence.format(address=reachable))
        return cleaned

    @transaction.atomic
    def add_to(self, studio: Studio) -> Student:
        """Saves family, guardian (the student, if adult) and student."""
        given = self.cleaned_data
        student = self.save(commit=False)
        student.family = Family.objects.create(
            studio=studio, name=student.family_name or student.given_name
        )
        student.save()
        if given["is_adult"]:
            name, relation = student.full_name, gettext(THE_STUDENT)
        else:
            name, relation = given["guardian_name"], given["relation"]
        if name:
            student.family.guardians.create(
                name=name[:120], relation=relation, email=given["email"], phone=given["phone"]
            )
        return student


class LeaveForm(PlainForm, forms.Form):
    day = forms.DateField(label=_("Last day"), widget=day_input())

    def __init__(self, *args: Any, student: Student, today: dt.date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.student, self.today = student, today

    def clean_day(self) -> dt.date:
        day: dt.date = self.cleaned_data["day"]
        if day < self.student.started:
            sentence = gettext("{day} lies before the first day, {first}.")
            first = long_day(self.student.started)
            raise forms.ValidationError(sentence.format(day=long_day(day), first=first))
        if day > self.today:
            sentence = gettext("{day} is still to come. Note the leaving on that day or later.")
            raise forms.ValidationError(sentence.format(day=long_day(day)))
        return day


class SizeNotesForm(PlainForm, forms.Form):
    """One line per instrument size; an empty line is no note."""

    def __init__(self, *args: Any, studio: Studio, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.studio = studio
        written = {note.size: note.fits for note in studio.size_notes.all()}
        for size, name in SIZE_FIELDS.items():
            self.fields[name] = forms.CharField(
                label=size,
                required=False,
                max_length=120,
                validators=[one_line],
                initial=written.get(size, ""),
            )
        self.phrase()

    @transaction.atomic
    def save(self) -> None:
        for size, name in SIZE_FIELDS.items():
            fits = self.cleaned_data[name]
            if fits:
                self.studio.size_notes.update_or_create(size=size, defaults={"fits": fits})
            else:
                self.studio.size_notes.filter(size=size).delete()
