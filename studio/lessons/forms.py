"""What the teacher types about lessons, slots and days."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

from django import forms
from django.core.validators import MaxValueValidator, MinValueValidator
from django.utils.dates import WEEKDAYS
from django.utils.translation import gettext, pgettext_lazy
from django.utils.translation import gettext_lazy as _

from studio.access.models import Studio
from studio.language.lists import listed
from studio.lessons.changes import When
from studio.lessons.models import (
    LEAST_MINUTES,
    MOST_MINUTES,
    Lesson,
    Slot,
)
from studio.lessons.schedule import SlotTime
from studio.people.models import Student, one_line
from studio.web.forms import PlainForm

if TYPE_CHECKING:
    from django_stubs_ext import StrOrPromise

EVERY = (
    (1, _("every week")),
    (2, _("every second week")),
    (3, _("every third week")),
    (4, _("every fourth week")),
)
FAR_DAY = dt.date(2100, 1, 1)
EARLY_DAY = dt.date(1990, 1, 1)


def day_input() -> forms.DateInput:
    return forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"})


def time_input() -> forms.TimeInput:
    return forms.TimeInput(format="%H:%M", attrs={"type": "time", "step": 300})


def day_field(**options: Any) -> forms.DateField:
    """A day in the years a studio can mean; the year 0202 is a slip of the finger."""
    limits = [
        MinValueValidator(EARLY_DAY, _("The year of %(show_value)s is too early.")),
        MaxValueValidator(FAR_DAY, _("The year of %(show_value)s is too late.")),
    ]
    return forms.DateField(widget=day_input(), validators=limits, **options)


def missing(form: forms.BaseForm, field: str, sentence: StrOrPromise) -> None:
    """What to say when this field was left out, where its label alone would make no sentence."""
    form.fields[field].error_messages["required"] = sentence


class WhereFields(forms.Form):
    place = forms.CharField(
        label=_("Place"),
        required=False,
        max_length=80,
        validators=[one_line],
        help_text=_("Empty means your own studio."),
    )
    link = forms.URLField(
        label=_("Link of a lesson on a screen"),
        required=False,
        max_length=200,
        assume_scheme="https",
        error_messages={"invalid": _("This is not an address of a page. It begins with https://")},
    )


def minutes_field() -> forms.IntegerField:
    return forms.IntegerField(
        label=_("Minutes"),
        min_value=LEAST_MINUTES,
        max_value=MOST_MINUTES,
        widget=forms.NumberInput(attrs={"class": "short", "step": 5}),
    )


class WhenForm(PlainForm, WhereFields):
    """A day and a time for one lesson. `offer`, a free time that was pressed, goes before both."""

    day = day_field(label=_("Day"))
    starts = forms.TimeField(label=_("Time"), widget=time_input())
    minutes = minutes_field()
    with_siblings = forms.BooleanField(required=False, label="")
    field_order: tuple[str, ...] = ("day", "starts", "minutes", "place", "link", "with_siblings")

    def __init__(self, *args: Any, sharing: list[str] | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if sharing:
            self.fields["with_siblings"].label = _too(sharing)
        else:
            del self.fields["with_siblings"]

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        offer = self.data.get("offer", "")
        if not offer:
            return cleaned
        for name in ("day", "starts"):
            self.errors.pop(name, None)
        try:
            moment = dt.datetime.strptime(offer[:16], "%Y-%m-%dT%H:%M")  # noqa: DTZ007
        except ValueError:
            words = gettext("“{value}” is not one of the free times.")
            self.add_error(None, words.format(value=offer[:40]))
            return cleaned
        cleaned["day"], cleaned["starts"] = moment.date(), moment.time()
        return cleaned

    @property
    def when(self) -> When:
        value = self.cleaned_data
        return When(value["day"], value["starts"], value["minutes"], value["place"], value["link"])


class SingleForm(WhenForm):
    """One lesson more for a student."""

    student = forms.ModelChoiceField(Student.objects.none(), label=_("Student"))
    field_order = ("student", *WhenForm.field_order)

    def __init__(self, *args: Any, studio: Studio, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        choice = self.fields["student"]
        assert isinstance(choice, forms.ModelChoiceField)  # noqa: S101  (for the type checker)
        choice.queryset = Student.objects.of(studio).learning()
        choice.empty_label = gettext("choose…")
        self.nobody = not choice.queryset.exists()


class SlotForm(PlainForm, WhereFields):
    """A weekly lesson: who, when and where. `students` drops out when a slot is changed."""

    students = forms.ModelMultipleChoiceField(
        Student.objects.none(),
        label=_("Students"),
        widget=forms.CheckboxSelectMultiple,
        help_text=_("Two ticks mean one lesson that two share."),
    )
    weekday = forms.TypedChoiceField(
        choices=list(WEEKDAYS.items()), coerce=int, label=_("Day of the week")
    )
    starts = forms.TimeField(label=_("Time"), widget=time_input())
    minutes = minutes_field()
    every_weeks = forms.TypedChoiceField(label=_("How often"), choices=EVERY, coerce=int)
    from_day = day_field(label=_("From this day on"))
    field_order = (
        "students", "weekday", "starts", "minutes", "every_weeks", "from_day", "place", "link"
    )  # fmt: skip

    def __init__(self, *args: Any, studio: Studio, slot: Slot | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        missing(self, "students", _("Tick the student whose lesson this is."))
        self.nobody = False
        if slot is not None:
            del self.fields["students"]
            return
        choice = self.fields["students"]
        assert isinstance(choice, forms.ModelMultipleChoiceField)  # noqa: S101
        choice.queryset = Student.objects.of(studio).learning()
        self.nobody = not choice.queryset.exists()

    @property
    def time(self) -> SlotTime:
        value = self.cleaned_data
        return SlotTime(
            value["weekday"],
            value["starts"],
            value["minutes"],
            value["place"],
            value["link"],
            value["every_weeks"],
        )


class EndSlotForm(PlainForm, forms.Form):
    last_day = day_field(label=_("Last day"), help_text=_("Lessons after it are taken out."))


class CancelForm(PlainForm, forms.Form):
    by = forms.ChoiceField(
        label=_("Who cancels?"),
        choices=[("family", _("The family")), ("teacher", pgettext_lazy("who cancels", "I do"))],
        widget=forms.RadioSelect,
    )
    with_siblings = forms.BooleanField(required=False, label="")

    def __init__(self, *args: Any, sharing: list[str] | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        missing(self, "by", _("Say who cancels: that decides whether a make-up is owed."))
        if sharing:
            self.fields["with_siblings"].label = _too(sharing)
        else:
            del self.fields["with_siblings"]


class SwapForm(PlainForm, forms.Form):
    other = forms.ModelChoiceField(
        Lesson.objects.none(),
        label=_("With which lesson?"),
        widget=forms.RadioSelect,
        empty_label=None,
        error_messages={
            "invalid_choice": _("That lesson is not one of those below."),
        },
    )

    def __init__(self, *args: Any, choices: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        missing(self, "other", _("Choose the lesson to swap with."))
        other = self.fields["other"]
        assert isinstance(other, forms.ModelChoiceField)  # noqa: S101
        other.queryset = choices


class DayOffForm(PlainForm, forms.Form):
    """The teacher is ill, or nobody can come."""

    why = forms.ChoiceField(
        label=_("What happened?"),
        choices=[
            ("ill", _("I cannot teach")),
            ("closed", _("Nobody can come: snow, storm, no power")),
        ],
        widget=forms.RadioSelect,
        initial="ill",
    )
    from_time = forms.TimeField(
        label=pgettext_lazy("a time of day", "From"),
        widget=time_input(),
        required=False,
        help_text=_("Empty means the whole day."),
    )
    name = forms.CharField(
        label=_("Name of the closed day"),
        max_length=80,
        required=False,
        initial=_("Snow day"),
        validators=[one_line],
    )
    owed = forms.BooleanField(
        label=_("Make-up lessons are owed for a closed day"), required=False, initial=True
    )


def _too(names: list[str]) -> str:
    """The siblings who share the lesson, as the words of a tick."""
    return gettext("{names} too").format(names=listed(names))


def slot_initial(slot: Slot, from_day: dt.date) -> dict[str, Any]:
    """What stands in the form before a slot is changed."""
    return {
        "weekday": slot.weekday,
        "starts": slot.starts,
        "minutes": slot.minutes,
        "every_weeks": slot.every_weeks,
        "place": slot.place,
        "link": slot.link,
        "from_day": from_day,
    }
