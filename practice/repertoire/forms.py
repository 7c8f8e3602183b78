"""Works, pieces, spots, scale and etude as the teacher types them in."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

from django import forms
from django.core.validators import MaxValueValidator, MinValueValidator
from django.utils.translation import gettext, pgettext_lazy
from django.utils.translation import gettext_lazy as _

from practice.music.errors import MusicError, UnknownKey
from practice.music.how import How
from practice.music.keys import MAJOR, key_told, parse_key
from practice.music.typed_keys import typed_key
from practice.repertoire.catalogue_words import technique_from, told_technique
from practice.repertoire.changes import Refused
from practice.repertoire.choices import MINOR_FORMS, key_choices, over_choices, string_choices
from practice.repertoire.excerpts import picture_of, read_bars
from practice.repertoire.models import FASTEST, SLOWEST, Idea, PieceInHand, ScaleInHand, Spot, Work
from studio.access.models import Studio
from studio.web.days import long_day
from studio.web.forms import PlainForm
from studio.web.model_form import ModelForm

if TYPE_CHECKING:
    from django_stubs_ext import StrOrPromise

MOST_TECHNIQUES = 12
LONGEST_TECHNIQUE = 40


def refuse(form: forms.BaseForm, refused: Refused) -> None:
    """Puts a refusal where it belongs: on its field if the form has it, else on top."""
    field = refused.field if refused.field in form.fields else None
    form.add_error(field, refused.sentence)


def tempo_field(label: StrOrPromise, required: bool = True, **kwargs: Any) -> forms.IntegerField:
    return forms.IntegerField(
        label=label,
        required=required,
        validators=[MinValueValidator(SLOWEST), MaxValueValidator(FASTEST)],
        widget=forms.NumberInput(attrs={"min": SLOWEST, "max": FASTEST, "class": "short"}),
        **kwargs,
    )


class TechniquesField(forms.CharField):
    """Short words with commas between them, kept as a list."""

    def prepare_value(self, value: Any) -> Any:
        return ", ".join(map(told_technique, value)) if isinstance(value, list) else value

    def to_python(self, value: Any) -> list[str]:  # type: ignore[override]
        words = [" ".join(word.split()) for word in str(value or "").split(",")]
        words = list(dict.fromkeys(technique_from(word) for word in words if word))
        if len(words) > MOST_TECHNIQUES:
            raise forms.ValidationError(
                gettext("{n} techniques are too many; at most {most}.").format(
                    n=len(words), most=MOST_TECHNIQUES
                )
            )
        for word in words:
            if len(word) > LONGEST_TECHNIQUE:
                sentence = gettext(
                    "“{start}…” is too long for one technique; put commas between them."
                )
                raise forms.ValidationError(sentence.format(start=word[:LONGEST_TECHNIQUE]))
        return words

    def has_changed(self, initial: Any, data: Any) -> bool:
        return bool(self.prepare_value(initial or []) != (data or ""))


class WorkForm(PlainForm, ModelForm[Work]):
    """A work of the teacher's own."""

    techniques = TechniquesField(
        label=_("Techniques"),
        required=False,
        help_text=_("With commas: slurs, third position, trill."),
    )

    class Meta:
        model = Work
        fields = [
            "title",
            "composer",
            "opus",
            "number",
            "key",
            "kind",
            "difficulty",
            "techniques",
        ]
        labels = {
            "title": _("Title"),
            "composer": _("Composer"),
            "opus": _("Opus"),
            "number": _("Number"),
            "key": _("Key"),
            "kind": _("Kind"),
            "difficulty": _("Difficulty"),
        }
        help_texts = {
            "key": _("Like G major or B flat minor."),
            "difficulty": _("1 for a first tune, 10 for a concert piece: your own ordering."),
        }
        widgets = {
            "difficulty": forms.NumberInput(attrs={"min": 1, "max": 10, "class": "short"}),
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.initial["key"] = key_told(self.initial.get("key", ""))

    def clean_key(self) -> str:
        typed: str = self.cleaned_data["key"]
        if not typed:
            return ""
        try:
            return typed_key(typed).name
        except UnknownKey as error:
            raise forms.ValidationError(str(error)) from error

    def save_for(self, studio: Studio) -> Work:
        self.instance.studio = studio
        self.instance.sure = Work.Sure.OWN
        return self.save()


class NewWorkForm(WorkForm):
    """The same with what is needed when a piece is given in passing."""

    class Meta(WorkForm.Meta):
        fields = ["title", "composer", "opus", "number", "key", "kind"]

    techniques = None  # type: ignore[assignment]


class PieceForm(PlainForm, ModelForm[PieceInHand]):
    def __init__(self, *args: Any, today: dt.date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = today

    def clean_started(self) -> dt.date:
        return not_in_the_future(self.cleaned_data["started"], self.today)

    class Meta:
        model = PieceInHand
        fields = ["note", "started"]
        labels = {"note": _("What of it, for now"), "started": _("In hand since")}
        help_texts = {"note": _("For example: first line, or up to the double bar.")}
        widgets = {"started": forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"})}


class SpotForm(PlainForm, forms.Form):
    first_bar = forms.IntegerField(
        label=_("Bar"), widget=forms.NumberInput(attrs={"min": 1, "class": "short"})
    )
    last_bar = forms.IntegerField(
        label=_("to bar"),
        required=False,
        widget=forms.NumberInput(attrs={"min": 1, "class": "short"}),
    )
    what = forms.CharField(
        label=_("What to do there"),
        max_length=200,
        validators=Spot._meta.get_field("what").validators,
        help_text=_("Said to the student: elbow leads to the D string."),
    )
    tempo_now = tempo_field(_("Tempo now"), initial=60)
    tempo_goal = tempo_field(_("Tempo wanted"), initial=80)
    excerpt = forms.CharField(
        label=_("The bars in ABC notation"),
        required=False,
        max_length=2000,
        strip=True,
        widget=forms.Textarea(attrs={"rows": 3, "spellcheck": "false"}),
        help_text=_("Engraved on the sheet, in the key of the work. For example: [M:3/4] d2 GA Bc"),
    )
    easier_key = forms.CharField(label=_("First in a simpler key"), required=False, max_length=30)

    def __init__(self, *args: Any, key: str = "", **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.key = key

    def clean_excerpt(self) -> str:
        try:
            abc = read_bars(self.cleaned_data["excerpt"], self.key)
            if abc:
                picture_of(abc)
        except MusicError as error:
            raise forms.ValidationError(str(error)) from error
        return abc

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if "last_bar" in cleaned and cleaned["last_bar"] is None:
            cleaned["last_bar"] = cleaned.get("first_bar")
        return cleaned


class ScaleForm(PlainForm, forms.Form):
    key = forms.ChoiceField(label=_("Key"), choices=key_choices)
    minor_form = forms.ChoiceField(
        label=_("A minor key as"),
        choices=MINOR_FORMS,
        initial=ScaleInHand.Form.MELODIC,
        required=False,
        widget=forms.RadioSelect,
    )
    octaves = forms.TypedChoiceField(
        label=_("Octaves"),
        choices=[
            (1, pgettext_lazy("octaves", "one")),
            (2, pgettext_lazy("octaves", "two")),
            (3, pgettext_lazy("octaves", "three")),
        ],
        coerce=int,
        widget=forms.RadioSelect,
    )
    string = forms.ChoiceField(label=_("Strings"), choices=string_choices, required=False)
    over = forms.TypedChoiceField(
        label=_("Over the top"), choices=over_choices, coerce=int, required=False
    )
    tempo_now = tempo_field(_("Tempo now"), required=False)
    tempo_goal = tempo_field(_("Tempo wanted"), required=False)
    since = forms.DateField(
        label=_("From which day"),
        widget=forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"}),
    )

    def __init__(self, *args: Any, today: dt.date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = today
        self.fields["key"].error_messages["invalid_choice"] = gettext(
            "“%(value)s” is not a key. Choose one of the thirty."
        )

    def clean_since(self) -> dt.date:
        return not_in_the_future(self.cleaned_data["since"], self.today)

    @property
    def how(self) -> How:
        """String and top as chosen."""
        return How(self.cleaned_data["string"], self.cleaned_data["over"] or 0)

    @property
    def form_of_scale(self) -> str:
        """Major for a major key, else as chosen."""
        if parse_key(self.cleaned_data["key"]).mode == MAJOR:
            return ScaleInHand.Form.MAJOR
        return self.cleaned_data["minor_form"] or ScaleInHand.Form.MELODIC


class EtudeForm(PlainForm, forms.Form):
    lines = forms.CharField(
        label=_("Which lines"),
        required=False,
        max_length=80,
        help_text=_("For example: lines 1 and 2, or the whole of it."),
    )
    cue = forms.CharField(
        label=_("One thing to mind"),
        required=False,
        max_length=200,
        help_text=_("Said to the student: wrist soft at the frog."),
    )
    since = forms.DateField(
        label=_("From which day"),
        widget=forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"}),
    )

    def __init__(self, *args: Any, today: dt.date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = today

    def clean_since(self) -> dt.date:
        return not_in_the_future(self.cleaned_data["since"], self.today)


class IdeaForm(PlainForm, ModelForm[Idea]):
    class Meta:
        model = Idea
        fields = ["title", "text"]
        labels = {"title": _("Title"), "text": _("The idea, said to the student")}
        widgets = {"text": forms.Textarea(attrs={"rows": 3})}


def not_in_the_future(day: dt.date, today: dt.date) -> dt.date:
    if day > today:
        sentence = gettext("{day} is still to come.")
        raise forms.ValidationError(sentence.format(day=long_day(day)))
    return day
