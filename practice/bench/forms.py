"""The Bench as small forms, one for each row of the page; every choice begins at Keep."""

from __future__ import annotations

import datetime as dt
from typing import Any, cast

from django import forms
from django.db.models import QuerySet
from django.utils.translation import gettext, pgettext, pgettext_lazy
from django.utils.translation import gettext_lazy as _

from practice.bench.fields import FIRST, KEEP, OTHER, MinutesField, WorkField, choices_of
from practice.bench.widgets import Select, Text
from practice.music.errors import MusicError
from practice.music.how import PLAIN, How, fingered
from practice.music.keys import ALL_KEYS, MINOR, Key, parse_key
from practice.music.naming import string_name
from practice.music.scales import OVER_THE_TOP
from practice.music.violin import STRINGS
from practice.plans.hand import HandEtude, HandScale
from practice.repertoire.models import (
    Favourite,
    Idea,
    ScaleInHand,
    Work,
)
from studio.people.models import MOST_MINUTES_A_DAY, one_line
from studio.web.forms import PlainForm
from studio.web.numbers import number_of

MOST_BOWINGS = 2


def _keys() -> list[tuple[str, str]]:
    return [("", gettext("choose…")), *((key.name, key.told) for key in ALL_KEYS)]


def _strings() -> list[tuple[str, str]]:
    only = gettext("{string} only")
    return [
        ("", pgettext("strings", "all")),
        *((each, only.format(string=string_name(each))) for each in STRINGS),
    ]


class WeekForm(PlainForm, forms.Form):
    """What is said about the whole week: the sentence, the end of the day, the minutes.

    `week` is the slider. `shown` is the sum it was shown with, `by_hand` the budgets it scales.
    """

    listen_for = forms.CharField(
        label=_("This week, listen for…"),
        required=False,
        max_length=240,
        widget=forms.Textarea(attrs={"rows": 2, "class": "carved", "dir": "auto"}),
    )
    to_check = forms.CharField(
        label=_("To check next time"),
        required=False,
        max_length=240,
        validators=[one_line],
        widget=Text({"placeholder": _("for you alone")}),
    )
    favourite = forms.ModelChoiceField(
        queryset=Favourite.objects.none(),
        required=False,
        empty_label=None,
        widget=Select,
    )
    idea = forms.ModelChoiceField(
        label=_("Explore"),
        queryset=Idea.objects.none(),
        required=False,
        empty_label=_("nothing this week"),
        widget=Select,
    )
    week = forms.IntegerField(label=_("Minutes of the week"), required=False, min_value=0)
    shown = forms.IntegerField(required=False, widget=forms.HiddenInput)
    by_hand = forms.CharField(required=False, widget=forms.HiddenInput)

    def __init__(
        self,
        *args: Any,
        days: tuple[dt.date, ...],
        favourites: QuerySet[Favourite],
        ideas: QuerySet[Idea],
        in_turn: str,
        **kwargs: Any,
    ) -> None:
        self.days = days
        super().__init__(*args, **kwargs)
        favourite = choices_of(self, "favourite")
        favourite.queryset = favourites
        favourite.empty_label = in_turn
        choices_of(self, "idea").queryset = ideas
        for number, day in enumerate(days):
            self.fields[f"minutes_{number}"] = MinutesField(day)
        self.phrase()

    @property
    def minutes(self) -> tuple[int, ...]:
        """The seven budgets as typed; only of a valid form."""
        return tuple(self.cleaned_data[f"minutes_{n}"] for n in range(len(self.days)))

    @property
    def base(self) -> tuple[int, ...]:
        """The budgets last written by hand, from which the slider scales."""
        figures = [number_of(each) for each in self.cleaned_data.get("by_hand", "").split(",")]
        known = [min(each, MOST_MINUTES_A_DAY) for each in figures if each is not None]
        return tuple(known) if len(known) == len(figures) == len(self.days) else self.minutes


class ScaleForm(PlainForm, forms.Form):
    """Keep the key, move on to the next one, or to any other."""

    prefix = "scale"
    move = forms.CharField(required=False)
    # Read by `parse_key`, whose sentence says what is wrong with a key that does not exist.
    key = forms.CharField(label=_("Key"), required=False, max_length=40, widget=Select)
    form = forms.ChoiceField(
        label=_("Minor as"),
        required=False,
        widget=Select,
        choices=[("", _("as usual")), *ScaleInHand.Form.choices[1:]],
    )
    octaves = forms.TypedChoiceField(
        label=_("Octaves"),
        required=False,
        widget=Select,
        coerce=int,
        choices=[(1, "1"), (2, "2"), (3, "3")],
    )
    string = forms.ChoiceField(label=_("Strings"), required=False, widget=Select)
    over = forms.TypedChoiceField(
        label=_("Over the top"),
        required=False,
        widget=Select,
        coerce=int,
        choices=[
            ("0", pgettext_lazy("notes over the top of a scale", "no")),
            *((n, _(words)) for n, words in enumerate(OVER_THE_TOP, start=1)),
        ],
    )
    bowings = forms.MultipleChoiceField(required=False, label=_("Bowings"))

    def __init__(
        self, *args: Any, now: HandScale | None, bowings: list[tuple[str, str]], **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.now = now
        field = cast(forms.MultipleChoiceField, self.fields["bowings"])
        field.choices = bowings
        field.error_messages["invalid_choice"] = _("“%(value)s” is not a bowing.")
        cast(forms.ChoiceField, self.fields["string"]).choices = _strings()
        cast(Select, self.fields["key"].widget).choices = _keys()

    def clean_bowings(self) -> list[str]:
        chosen: list[str] = self.cleaned_data["bowings"]
        if len(chosen) > MOST_BOWINGS:
            said = gettext("{n} bowings are ticked; a scale takes one or two at a time.")
            raise forms.ValidationError(said.format(n=len(chosen)))
        return chosen

    def clean(self) -> dict[str, Any] | None:
        cleaned = super().clean()
        move = self.cleaned_data.get("move") or KEEP
        if move == KEEP:
            return cleaned
        wanted = self.cleaned_data.get("key", "") if move in (OTHER, FIRST) else move
        if not wanted and move == FIRST:
            return cleaned
        if not wanted and self.now and self._played_otherwise():
            wanted = self.now.key
        if not wanted:
            self.add_error("key", _("Choose the key to move on to."))
            return cleaned
        try:
            self.cleaned_data["wanted"] = parse_key(wanted)
            chosen = self.chosen()
            if chosen and not self.errors:
                fingered(parse_key(chosen[0]), *chosen[1:], self.how)
        except MusicError as error:
            asked = self.how
            name = "string" if asked.string else "over" if asked.over else "key"
            self.add_error("key" if "wanted" not in self.cleaned_data else name, str(error))
        return cleaned

    def _played_otherwise(self) -> bool:
        """Whether form, octaves, string or top are other ones: then the key may stay unsaid."""
        now = self.now
        return now is not None and (now.form, now.octaves, now.how.string, now.how.over) != (
            self.cleaned_data.get("form") or now.form,
            self.cleaned_data.get("octaves") or now.octaves,
            self.how.string,
            self.how.over,
        )

    @property
    def how(self) -> How:
        """String and top: as chosen with another key or octaves, else as now. The next key is
        played across the strings."""
        move = self.cleaned_data.get("move") or KEEP
        if move in (OTHER, FIRST):
            return How(self.cleaned_data.get("string", ""), self.cleaned_data.get("over") or 0)
        before = self.now.how if self.now else PLAIN
        return How(before.string if move == KEEP else "", before.over)

    def chosen(self) -> tuple[str, str, int] | None:
        """Key, form and octaves; None where no scale is in hand and none was chosen."""
        wanted: Key | None = self.cleaned_data.get("wanted")
        now = self.now
        if wanted is None:
            return (now.key, now.form, now.octaves) if now else None
        octaves = now.octaves if now else 1
        if self.cleaned_data.get("move") in (OTHER, FIRST):
            octaves = self.cleaned_data.get("octaves") or octaves
        return wanted.name, self._form_of(wanted), octaves

    def _form_of(self, wanted: Key) -> str:
        """A minor key keeps the form that was practised; the first one is harmonic."""
        if wanted.mode != MINOR:
            return ScaleInHand.Form.MAJOR
        chose = self.cleaned_data.get("move") in (OTHER, FIRST)
        named = self.cleaned_data.get("form") if chose else ""
        before = self.now.form if self.now and self.now.form != ScaleInHand.Form.MAJOR else ""
        return named or before or ScaleInHand.Form.HARMONIC


class EtudeForm(PlainForm, forms.Form):
    """Keep the etude, move on to the next of its collection, or to any other."""

    prefix = "etude"
    move = forms.CharField(required=False)
    work = WorkField(label=_("Etude"), empty_label=_("choose…"))
    lines = forms.CharField(
        label=_("Lines"), required=False, max_length=80, widget=Text, validators=[one_line]
    )
    cue = forms.CharField(
        label=_("Cue"), required=False, max_length=200, widget=Text, validators=[one_line]
    )

    def __init__(
        self,
        *args: Any,
        now: HandEtude | None,
        works: QuerySet[Work],
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        self.now, self.works = now, works
        choices_of(self, "work").queryset = works

    def clean(self) -> dict[str, Any] | None:
        cleaned = super().clean()
        move = self.cleaned_data.get("move") or KEEP
        chosen = None
        if move in (OTHER, FIRST):
            chosen = self.cleaned_data.get("work")
            if move == OTHER and chosen is None and "work" not in self.errors:
                self.add_error("work", _("Choose the etude to move on to."))
        elif move != KEEP:
            number = number_of(move)
            chosen = None if number is None else self.works.filter(pk=number).first()
            if chosen is None:
                said = gettext("“{typed}” is no etude; choose again.")
                self.add_error("move", said.format(typed=move))
        self.cleaned_data["chosen"] = chosen
        return cleaned

    def said(self) -> tuple[str, str]:
        """Lines and cue. Those of the etude before do not follow her to the next one."""
        lines, cue = self.cleaned_data["lines"], self.cleaned_data["cue"]
        if self.cleaned_data["chosen"] is not None and self.now is not None:
            lines = "" if lines == self.now.lines else lines
            cue = "" if cue == self.now.cue else cue
        return lines, cue
