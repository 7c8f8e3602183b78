"""Families, guardians and students as the teacher types them in."""

from __future__ import annotations

import datetime as dt
from typing import Any

from django import forms
from django.db import transaction
from django.forms import BoundField

from studio.access.models import Studio
from studio.people.models import WEEKDAYS, Family, Guardian, Student, one_line
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
# Only the columns are short; the whole word is the label of each field.
DAY_NAMES = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
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
            "name": "Family name",
            "notes": "Notes",
            "shares_violin": "The children share one violin or one hour",
            "shared_from": "They play from",
            "shared_until": "Until",
        }
        help_texts = {
            "notes": "For you alone; nothing of it is printed or sent.",
            "shares_violin": "Their sessions then get times that never overlap, and take turns at"
            " being first. The Bench and the sheet show the times.",
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
            self.add_error("shared_until", f"{said[1]} is not after {said[0]}, when they begin.")
        if (begins or ends) and not cleaned.get("shares_violin"):
            self.add_error(
                "shares_violin", "A shared time is given: tick this, or empty both times."
            )
        return cleaned


class GuardianForm(PlainForm, ModelForm[Guardian]):
    class Meta:
        model = Guardian
        fields = ["name", "relation", "email", "phone"]
        labels = {"email": "E-mail", "relation": "Relation"}
        widgets = {
            "relation": forms.TextInput(attrs={"placeholder": "mother, uncle, carer …"}),
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
        return [(DAY_NAMES[day % 7][:3], self[f"minutes_{WEEKDAYS[day % 7]}"]) for day in days]

    @property
    def session_fields(self) -> list[tuple[BoundField, BoundField]]:
        return [(self[f"session_{n}"], self[f"session_{n}_starts"]) for n in SESSIONS]

    def clean_birth_date(self) -> dt.date | None:
        born: dt.date | None = self.cleaned_data["birth_date"]
        if born and born > self.today:
            raise forms.ValidationError(f"{long_day(born)} is still to come.")
        if born and born.year < self.today.year - OLDEST_YEARS:
            raise forms.ValidationError(f"{long_day(born)} is more than {OLDEST_YEARS} years ago.")
        return born

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        for n in SESSIONS:
            if cleaned.get(f"session_{n}_starts") and not cleaned.get(f"session_{n}"):
                self.add_error(f"session_{n}", "It has a start but no name.")
        return cleaned

    class Meta:
        model = Student
        fields = ["given_name", "family_name", "birth_date", *ROUTINE_FIELDS]
        labels = {
            "given_name": "First name",
            "birth_date": "Day of birth",
            "instrument_size": "Violin",
            "sheet_style": "Practice sheet",
            "started": "First day with you",
            **{
                f"minutes_{day}": f"Minutes on {name}"
                for day, name in zip(WEEKDAYS, DAY_NAMES, strict=True)
            },
            **{f"session_{n}": f"Session {n}" for n in SESSIONS},
            **{f"session_{n}_starts": f"Session {n} starts" for n in SESSIONS},
        }
        help_texts = {"notes": "For you alone; nothing of it is printed or sent."}
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
            self.add_error("started", f"The student left on {long_day(left)}, before this day.")
        return cleaned


class FirstStudentForm(RoutineForm):
    """A new family with its first student on one screen."""

    is_adult = forms.BooleanField(
        label="An adult, who gets the letters himself or herself", required=False
    )
    guardian_name = forms.CharField(
        label="Guardian", required=False, max_length=120, validators=[one_line]
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
            self.add_error(
                "guardian_name", f"Whose is “{reachable}”? Name the guardian, or tick adult."
            )
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
            name, relation = student.full_name, "the student"
        else:
            name, relation = given["guardian_name"], given["relation"]
        if name:
            student.family.guardians.create(
                name=name[:120], relation=relation, email=given["email"], phone=given["phone"]
            )
        return student


class LeaveForm(PlainForm, forms.Form):
    day = forms.DateField(label="Last day", widget=day_input())

    def __init__(self, *args: Any, student: Student, today: dt.date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.student, self.today = student, today

    def clean_day(self) -> dt.date:
        day: dt.date = self.cleaned_data["day"]
        if day < self.student.started:
            raise forms.ValidationError(
                f"{long_day(day)} lies before the first day, {long_day(self.student.started)}."
            )
        if day > self.today:
            raise forms.ValidationError(
                f"{long_day(day)} is still to come. Note the leaving on that day or later."
            )
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
