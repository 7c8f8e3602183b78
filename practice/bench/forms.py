"""The Bench as small forms, one for each row of the page; every choice begins at Keep."""

from __future__ import annotations

import datetime as dt
import re
from typing import Any, cast

from django import forms
from django.db.models import QuerySet

from practice.music.keys import ALL_KEYS, MINOR, Key, parse_key
from practice.plans.hand import Hand, HandEtude, HandPiece, HandScale, HandSpot
from practice.repertoire.models import (
    FASTEST,
    SLOWEST,
    Favourite,
    Idea,
    PieceInHand,
    ScaleInHand,
    Spot,
    Work,
)
from studio.people.models import MOST_MINUTES_A_DAY, one_line
from studio.web.forms import PlainForm

KEEP, OTHER = "keep", "other"
MOST_BOWINGS = 2
MOST_BARS = 9999
STAGES_ON = {
    PieceInHand.Stage.READING: PieceInHand.Stage.WORKING_UP,
    PieceInHand.Stage.WORKING_UP: PieceInHand.Stage.POLISHING,
}
KEY_CHOICES = [("", "choose…"), *[(key.name, key.name) for key in ALL_KEYS]]
OPEN_STATES = [(state.value, state.label) for state in Spot.State if state != Spot.State.SOLVED]


class TempoField(forms.IntegerField):
    """Beats a minute, with a keyboard of figures."""

    def __init__(self, **options: Any) -> None:
        super().__init__(
            min_value=SLOWEST,
            max_value=FASTEST,
            widget=forms.TextInput(
                attrs={"inputmode": "numeric", "autocomplete": "off", "maxlength": 4}
            ),
            **options,
        )


class MinutesField(forms.IntegerField):
    """A day's budget. Empty is a day off."""

    def __init__(self, day: str) -> None:
        super().__init__(
            label=f"Minutes on {day}",
            required=False,
            min_value=0,
            max_value=MOST_MINUTES_A_DAY,
            widget=forms.TextInput(
                attrs={
                    "inputmode": "numeric",
                    "autocomplete": "off",
                    "maxlength": 5,
                    "class": "budget",
                    "aria-label": f"Minutes on {day}",
                }
            ),
        )

    def clean(self, value: Any) -> int:
        return super().clean(value) or 0


class WorkField(forms.ModelChoiceField[Work]):
    """A work of the catalogue, told by its composer's surname."""

    def __init__(self, **options: Any) -> None:
        super().__init__(queryset=Work.objects.none(), required=False, **options)
        self.error_messages["invalid_choice"] = "That work is not in the catalogue any more."

    def label_from_instance(self, obj: Work) -> str:
        surname = obj.composer.split()[-1] if obj.composer else ""
        return f"{surname}: {obj.short_title}" if surname else obj.short_title


class WeekForm(PlainForm, forms.Form):
    """What is said about the whole week: the sentence, the end of the day, the minutes.

    `week` is the slider. `shown` is the sum it was shown with, `by_hand` the budgets it scales.
    """

    listen_for = forms.CharField(
        label="This week, listen for…",
        required=False,
        max_length=240,
        widget=forms.Textarea(attrs={"rows": 2, "class": "carved"}),
    )
    to_check = forms.CharField(
        label="To check next time",
        required=False,
        max_length=240,
        validators=[one_line],
        widget=forms.TextInput(attrs={"placeholder": "for you alone"}),
    )
    favourite = forms.ModelChoiceField(
        queryset=Favourite.objects.none(), required=False, empty_label=None
    )
    idea = forms.ModelChoiceField(label="Explore", queryset=Idea.objects.none(), required=False)
    week = forms.IntegerField(label="Minutes of the week", required=False, min_value=0)
    shown = forms.IntegerField(required=False, widget=forms.HiddenInput)
    by_hand = forms.CharField(required=False, widget=forms.HiddenInput)

    def __init__(
        self,
        *args: Any,
        days: tuple[dt.date, ...],
        favourites: QuerySet[Favourite],
        ideas: QuerySet[Idea],
        **kwargs: Any,
    ) -> None:
        self.days = days
        super().__init__(*args, **kwargs)
        choices_of(self, "favourite").queryset = favourites
        choices_of(self, "idea").queryset = ideas
        for number, day in enumerate(days):
            self.fields[f"minutes_{number}"] = MinutesField(f"{day:%A}")
        self.phrase()

    @property
    def minutes(self) -> tuple[int, ...]:
        """The seven budgets as typed; only of a valid form."""
        return tuple(self.cleaned_data[f"minutes_{n}"] for n in range(len(self.days)))

    @property
    def base(self) -> tuple[int, ...]:
        """The budgets last written by hand, from which the slider scales."""
        figures = self.cleaned_data.get("by_hand", "").split(",")
        if len(figures) != len(self.days) or not all(each.isdecimal() for each in figures):
            return self.minutes
        return tuple(min(int(each), MOST_MINUTES_A_DAY) for each in figures)


class ScaleForm(PlainForm, forms.Form):
    """Keep the key, move on to the next one, or to any other."""

    prefix = "scale"
    move = forms.CharField(required=False)
    # Read by `parse_key`, whose sentence says what is wrong with a key that does not exist.
    key = forms.CharField(
        label="Key", required=False, max_length=40, widget=forms.Select(choices=KEY_CHOICES)
    )
    form = forms.ChoiceField(
        label="Minor as", required=False, choices=[("", "as usual"), *ScaleInHand.Form.choices[1:]]
    )
    octaves = forms.TypedChoiceField(
        label="Octaves", required=False, coerce=int, choices=[(1, "1"), (2, "2"), (3, "3")]
    )
    bowings = forms.MultipleChoiceField(required=False, label="Bowings")

    def __init__(
        self, *args: Any, now: HandScale | None, bowings: list[tuple[str, str]], **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.now = now
        field = cast(forms.MultipleChoiceField, self.fields["bowings"])
        field.choices = bowings
        field.error_messages["invalid_choice"] = "“%(value)s” is not a bowing."

    def clean_bowings(self) -> list[str]:
        chosen: list[str] = self.cleaned_data["bowings"]
        if len(chosen) > MOST_BOWINGS:
            raise forms.ValidationError(
                f"{len(chosen)} bowings are ticked; a scale takes one or two at a time."
            )
        return chosen

    def clean(self) -> dict[str, Any] | None:
        cleaned = super().clean()
        move = self.cleaned_data.get("move") or KEEP
        if move == KEEP:
            return cleaned
        wanted = self.cleaned_data.get("key", "") if move == OTHER else move
        if not wanted:
            self.add_error("key", "Choose the key she moves on to.")
            return cleaned
        try:
            self.cleaned_data["wanted"] = parse_key(wanted)
        except ValueError as error:
            self.add_error("key", str(error))
        return cleaned

    def chosen(self) -> tuple[str, str, int] | None:
        """Key, form and octaves; None where no scale is in hand and none was chosen."""
        wanted: Key | None = self.cleaned_data.get("wanted")
        now = self.now
        if wanted is None:
            return (now.key, now.form, now.octaves) if now else None
        octaves = now.octaves if now else 1
        if self.cleaned_data.get("move") == OTHER:
            octaves = self.cleaned_data.get("octaves") or octaves
        return wanted.name, self._form_of(wanted), octaves

    def _form_of(self, wanted: Key) -> str:
        """A minor key keeps the form that was practised; the first one is harmonic."""
        if wanted.mode != MINOR:
            return ScaleInHand.Form.MAJOR
        named = self.cleaned_data.get("form") if self.cleaned_data.get("move") == OTHER else ""
        before = self.now.form if self.now and self.now.form != ScaleInHand.Form.MAJOR else ""
        return named or before or ScaleInHand.Form.HARMONIC


class EtudeForm(PlainForm, forms.Form):
    """Keep the etude, move on to the next of its collection, or to any other."""

    prefix = "etude"
    move = forms.CharField(required=False)
    work = WorkField(label="Etude", empty_label="choose…")
    lines = forms.CharField(label="Lines", required=False, max_length=80, validators=[one_line])
    cue = forms.CharField(label="Cue", required=False, max_length=200, validators=[one_line])

    def __init__(
        self,
        *args: Any,
        now: HandEtude | None,
        following: Work | None,
        works: QuerySet[Work],
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        self.now, self.following = now, following
        choices_of(self, "work").queryset = works

    def clean(self) -> dict[str, Any] | None:
        cleaned = super().clean()
        move = self.cleaned_data.get("move") or KEEP
        chosen = None
        if move == OTHER:
            chosen = self.cleaned_data.get("work")
            if chosen is None and "work" not in self.errors:
                self.add_error("work", "Choose the etude to move on to.")
        elif move != KEEP:
            chosen = self.following if self.following and move == str(self.following.pk) else None
            if chosen is None:
                self.add_error("move", f"“{move}” is not the next etude; choose it again.")
        self.cleaned_data["chosen"] = chosen
        return cleaned

    def said(self) -> tuple[str, str]:
        """Lines and cue. Those of the etude before do not follow her to the next one."""
        lines, cue = self.cleaned_data["lines"], self.cleaned_data["cue"]
        if self.cleaned_data["chosen"] is not None and self.now is not None:
            lines = "" if lines == self.now.lines else lines
            cue = "" if cue == self.now.cue else cue
        return lines, cue


class PieceForm(PlainForm, forms.Form):
    """Keep the stage, go to the next one, finish the piece or set it aside."""

    stage = forms.ChoiceField(required=False)
    favourite = forms.BooleanField(required=False, label="Make it a favourite")

    def __init__(self, *args: Any, piece: HandPiece, **kwargs: Any) -> None:
        super().__init__(*args, prefix=f"piece-{piece.id}", **kwargs)
        self.piece = piece
        following = STAGES_ON.get(PieceInHand.Stage(piece.stage))
        self.choices = [(KEEP, "Keep")]
        if following:
            self.choices.append((following.value, following.label.capitalize()))
        self.choices.append((PieceInHand.Stage.FINISHED.value, "Finished"))
        self.rarely = (PieceInHand.Stage.SET_ASIDE.value, "Set aside")
        field = cast(forms.ChoiceField, self.fields["stage"])
        field.choices = [*self.choices, self.rarely]
        field.error_messages["invalid_choice"] = "“%(value)s” is no stage this piece can go to."

    def chosen(self) -> str:
        stage = self.cleaned_data["stage"]
        return self.piece.stage if stage in ("", KEEP) else stage


class SpotForm(PlainForm, forms.Form):
    """What is wrong, tempo now and wanted, how firm it is, or solved."""

    what = forms.CharField(max_length=200, validators=[one_line])
    now = TempoField(label="Tempo now")
    wanted = TempoField(label="Tempo wanted")
    state = forms.ChoiceField(choices=OPEN_STATES, required=False)
    solved = forms.BooleanField(required=False)

    def __init__(self, *args: Any, spot: HandSpot, **kwargs: Any) -> None:
        super().__init__(*args, prefix=f"spot-{spot.id}", **kwargs)
        self.spot = spot
        names = {
            "what": f"What is wrong in {spot.label}",
            "now": f"Tempo now in {spot.label}",
            "wanted": f"Tempo wanted in {spot.label}",
            "state": f"How firm {spot.label} is",
        }
        for name, words in names.items():
            self.fields[name].widget.attrs["aria-label"] = words
            self.fields[name].label = words
        self.phrase()

    def clean(self) -> dict[str, Any] | None:
        cleaned = super().clean()
        _check_order(self)
        return cleaned

    def chosen_state(self) -> str:
        if self.cleaned_data["solved"]:
            return Spot.State.SOLVED
        return self.cleaned_data["state"] or self.spot.state


class NewSpotForm(PlainForm, forms.Form):
    """A row for a new spot; without bars and words it is no spot."""

    bars = forms.CharField(label="Bars", required=False, max_length=40)
    what = forms.CharField(
        label="What is wrong", required=False, max_length=200, validators=[one_line]
    )
    now = TempoField(label="Tempo now", initial=60)
    wanted = TempoField(label="Tempo wanted", initial=80)

    def __init__(self, *args: Any, piece: HandPiece, number: int, **kwargs: Any) -> None:
        super().__init__(*args, prefix=f"new-{piece.id}-{number}", **kwargs)
        self.piece = piece
        for name, field in self.fields.items():
            field.widget.attrs["aria-label"] = f"{field.label}, new spot {number} in {piece.title}"
            if name in ("now", "wanted"):
                field.required = False
        self.fields["bars"].widget.attrs["placeholder"] = "7 or 7–8"
        self.fields["what"].widget.attrs["placeholder"] = "what is wrong there"

    @property
    def is_blank(self) -> bool:
        return not (self.cleaned_data.get("bars") or self.cleaned_data.get("what"))

    def clean_bars(self) -> str:
        bars: str = self.cleaned_data["bars"]
        if bars:
            self.cleaned_data["first"], self.cleaned_data["last"] = read_bars(bars)
        return bars

    def clean(self) -> dict[str, Any] | None:
        cleaned = super().clean()
        if self.errors or self.is_blank:
            return cleaned
        if not self.cleaned_data["bars"]:
            self.add_error("bars", "Name the bars of the new spot, like 7 or 7–8.")
        if not self.cleaned_data["what"]:
            self.add_error("what", "Write in a few words what is wrong there.")
        for name in ("now", "wanted"):
            if self.cleaned_data.get(name) is None:
                self.add_error(name, f"{self.fields[name].label} is missing.")
        _check_order(self)
        return cleaned


class NewPieceForm(PlainForm, forms.Form):
    prefix = "new-piece"
    work = WorkField(label="New piece", empty_label="none")

    def __init__(self, *args: Any, works: QuerySet[Work], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        choices_of(self, "work").queryset = works

    def refuse_third(self, staying: list[HandPiece]) -> None:
        """Called when it is known which pieces stay in hand."""
        work: Work | None = self.cleaned_data.get("work")
        if work is None:
            return
        if any(piece.work_id == work.pk for piece in staying):
            self.add_error("work", f"{work} is already in hand.")
        elif len(staying) >= 2:
            both = " and ".join(piece.title for piece in staying)
            self.add_error(
                "work",
                f"Two pieces are in hand, {both}. Finish one or set it aside before giving {work}.",
            )


def choices_of(form: forms.Form, name: str) -> forms.ModelChoiceField[Any]:
    return cast(forms.ModelChoiceField[Any], form.fields[name])


def read_bars(text: str) -> tuple[int, int]:
    """First and last of "7", "7-8", "7–8", "7 to 8". Raises ValidationError naming the text."""
    found = re.fullmatch(r"\s*(\d+)\s*(?:(?:-|–|to)\s*(\d+)\s*)?", text)
    if not found:
        raise forms.ValidationError(f"“{text}” are no bars. Write numbers like 7 or 7–8.")
    first, last = int(found[1]), int(found[2] or found[1])
    if not 1 <= first <= MOST_BARS or last > MOST_BARS:
        raise forms.ValidationError(f"“{text}”: bars are counted from 1 to {MOST_BARS}.")
    if last < first:
        raise forms.ValidationError(f"The last bar, {last}, lies before the first, {first}.")
    return first, last


def _check_order(form: forms.Form) -> None:
    now, wanted = form.cleaned_data.get("now"), form.cleaned_data.get("wanted")
    if now is not None and wanted is not None and wanted < now:
        form.add_error("wanted", f"The tempo wanted, {wanted}, lies below the tempo now, {now}.")


def staying(hand: Hand, pieces: list[PieceForm]) -> list[HandPiece]:
    """The pieces that stay in hand after what was chosen."""
    leaving = {
        form.piece.id
        for form in pieces
        if form.chosen() in (PieceInHand.Stage.FINISHED, PieceInHand.Stage.SET_ASIDE)
    }
    return [piece for piece in hand.pieces if piece.id not in leaving]
