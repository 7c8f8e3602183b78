"""The rows of the pieces: stage, spots, new spots, and a new piece."""

from __future__ import annotations

import re
from typing import Any, cast

from django import forms
from django.db.models import QuerySet
from django.utils.translation import gettext, pgettext, pgettext_lazy
from django.utils.translation import gettext_lazy as _

from practice.bench.fields import KEEP, TempoField, WorkField, choices_of
from practice.bench.widgets import Lines, Select, Text
from practice.music.keys import key_told
from practice.planning.words import sentence_case
from practice.plans.hand import Hand, HandPiece, HandSpot
from practice.repertoire.excerpts import easier_keys
from practice.repertoire.models import PieceInHand, Spot, Work
from studio.language.lists import listed
from studio.people.models import one_line
from studio.web.forms import PlainForm

MOST_BARS = 9999
STAGES_ON = {
    PieceInHand.Stage.READING: PieceInHand.Stage.WORKING_UP,
    PieceInHand.Stage.WORKING_UP: PieceInHand.Stage.POLISHING,
}
OPEN_STATES = [(state.value, state.label) for state in Spot.State if state != Spot.State.SOLVED]


class PieceForm(PlainForm, forms.Form):
    """Keep the stage, go to the next one, finish the piece or set it aside."""

    stage = forms.ChoiceField(required=False)
    favourite = forms.BooleanField(required=False, label=_("Make it a favourite"))

    def __init__(self, *args: Any, piece: HandPiece, **kwargs: Any) -> None:
        super().__init__(*args, prefix=f"piece-{piece.id}", **kwargs)
        self.piece = piece
        following = STAGES_ON.get(PieceInHand.Stage(piece.stage))
        self.choices = [(KEEP, gettext("Keep"))]
        if following:
            self.choices.append((following.value, sentence_case(str(following.label))))
        self.choices.append((PieceInHand.Stage.FINISHED.value, gettext("Finished")))
        self.rarely = (PieceInHand.Stage.SET_ASIDE.value, gettext("Set aside"))
        field = cast(forms.ChoiceField, self.fields["stage"])
        field.choices = [*self.choices, self.rarely]
        field.error_messages["invalid_choice"] = _("“%(value)s” is no stage this piece can go to.")

    def chosen(self) -> str:
        stage = self.cleaned_data["stage"]
        return self.piece.stage if stage in ("", KEEP) else stage


class SpotForm(PlainForm, forms.Form):
    """What is wrong, tempo now and wanted, how firm it is, or solved."""

    what = forms.CharField(max_length=200, widget=Lines, validators=[one_line])
    now = TempoField(label=_("Tempo now"))
    wanted = TempoField(label=_("Tempo wanted"))
    state = forms.ChoiceField(choices=OPEN_STATES, required=False, widget=Select)
    solved = forms.BooleanField(required=False)
    easier = forms.ChoiceField(required=False, widget=Select)

    def __init__(self, *args: Any, spot: HandSpot, **kwargs: Any) -> None:
        super().__init__(*args, prefix=f"spot-{spot.id}", **kwargs)
        self.spot = spot
        keys = dict.fromkeys([*easier_keys(spot.excerpt), *filter(None, [spot.easier_key])])
        self.has_easier = bool(keys)
        first_in = gettext("first in {key}")
        choices = [
            ("", pgettext("a second exercise of a spot", "no")),
            *((key, first_in.format(key=key_told(key))) for key in keys),
        ]
        cast(forms.ChoiceField, self.fields["easier"]).choices = choices
        names = {
            "what": gettext("What is wrong in {bars}"),
            "now": gettext("Tempo now in {bars}"),
            "wanted": gettext("Tempo wanted in {bars}"),
            "state": gettext("How firm {bars} is"),
            "easier": gettext("Second exercise of {bars}"),
        }
        for name, pattern in names.items():
            words = pattern.format(bars=spot.label)
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

    def chosen_easier(self) -> str:
        """Left as it is where the page did not offer it."""
        offered = self.add_prefix("easier") in self.data
        return self.cleaned_data["easier"] if offered else self.spot.easier_key


class NewSpotForm(PlainForm, forms.Form):
    """A row for a new spot; without bars and words it is no spot."""

    bars = forms.CharField(label=_("Bars"), required=False, max_length=40, widget=Text)
    what = forms.CharField(
        label=_("What is wrong"),
        required=False,
        max_length=200,
        widget=Lines,
        validators=[one_line],
    )
    now = TempoField(label=_("Tempo now"), initial=60)
    wanted = TempoField(label=_("Tempo wanted"), initial=80)

    def __init__(self, *args: Any, piece: HandPiece, number: int, **kwargs: Any) -> None:
        super().__init__(*args, prefix=f"new-{piece.id}-{number}", **kwargs)
        self.piece = piece
        label = gettext("{field}, new spot {n} in {title}")
        for name, field in self.fields.items():
            field.widget.attrs["aria-label"] = label.format(
                field=field.label, n=number, title=piece.title
            )
            if name in ("now", "wanted"):
                field.required = False
        self.fields["bars"].widget.attrs["placeholder"] = _("7 or 7–8")
        self.fields["what"].widget.attrs["placeholder"] = _("what is wrong there")

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
            self.add_error("bars", _("Name the bars of the new spot, like 7 or 7–8."))
        if not self.cleaned_data["what"]:
            self.add_error("what", _("Write in a few words what is wrong there."))
        for name in ("now", "wanted"):
            if self.cleaned_data.get(name) is None:
                self.add_error(
                    name, gettext("{label} is missing.").format(label=self.fields[name].label)
                )
        _check_order(self)
        return cleaned


class NewPieceForm(PlainForm, forms.Form):
    prefix = "new-piece"
    work = WorkField(label=_("New piece"), empty_label=pgettext_lazy("new piece", "none"))

    def __init__(self, *args: Any, works: QuerySet[Work], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        choices_of(self, "work").queryset = works

    def refuse_third(self, staying: list[HandPiece]) -> None:
        """Called when it is known which pieces stay in hand."""
        work: Work | None = self.cleaned_data.get("work")
        if work is None:
            return
        if any(piece.work_id == work.pk for piece in staying):
            self.add_error("work", gettext("{title} is already in hand.").format(title=work))
        elif len(staying) >= 2:
            said = gettext(
                "Two pieces are in hand, {titles}."
                " Finish one or set it aside before giving {title}."
            )
            titles = listed([piece.title for piece in staying])
            self.add_error("work", said.format(titles=titles, title=work))


def read_bars(text: str) -> tuple[int, int]:
    """First and last of "7", "7-8", "7–8", "7 to 8". Raises ValidationError naming the text."""
    to = re.escape(pgettext("between two numbers of bars", "to"))
    found = re.fullmatch(rf"\s*(\d+)\s*(?:(?:-|–|to|{to})\s*(\d+)\s*)?", text)
    if not found:
        said = gettext("“{text}” are no bars. Write numbers like 7 or 7–8.")
        raise forms.ValidationError(said.format(text=text))
    first, last = int(found[1]), int(found[2] or found[1])
    if not 1 <= first <= MOST_BARS or last > MOST_BARS:
        said = gettext("“{text}”: bars are counted from 1 to {most}.")
        raise forms.ValidationError(said.format(text=text, most=MOST_BARS))
    if last < first:
        said = gettext("The last bar, {last}, lies before the first, {first}.")
        raise forms.ValidationError(said.format(first=first, last=last))
    return first, last


def _check_order(form: forms.Form) -> None:
    now, wanted = form.cleaned_data.get("now"), form.cleaned_data.get("wanted")
    if now is not None and wanted is not None and wanted < now:
        said = gettext("The tempo wanted, {wanted}, lies below the tempo now, {now}.")
        form.add_error("wanted", said.format(wanted=wanted, now=now))


def staying(hand: Hand, pieces: list[PieceForm]) -> list[HandPiece]:
    """The pieces that stay in hand after what was chosen."""
    leaving = {
        form.piece.id
        for form in pieces
        if form.chosen() in (PieceInHand.Stage.FINISHED, PieceInHand.Stage.SET_ASIDE)
    }
    return [piece for piece in hand.pieces if piece.id not in leaving]
