"""Fingers written over the notes of a scale, one small field a note."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

from django import forms
from django.forms import BoundField
from django.utils.translation import gettext, pgettext
from django.utils.translation import gettext_lazy as _

from practice.music.errors import MusicError
from practice.music.fingering import fingering
from practice.music.how import How, run_of
from practice.music.keys import parse_key
from practice.music.own_fingers import Own, fingers_code, parse_own
from practice.music.pitch import Pitch
from practice.music.violin import HIGHEST_POSITION, Place, position_name
from practice.repertoire.models import ScaleInHand
from studio.web.forms import PlainForm

LONGEST = 12  # letters one may type over a note


def highest_choices() -> list[tuple[int, str]]:
    named = [(position, position_name(position)) for position in (1, 3, 5, 7)]
    return [(HIGHEST_POSITION, gettext("as high as it needs")), *named]


@dataclass(frozen=True)
class Note:
    """A note ("B♭") with its field, and the place the program takes by itself."""

    name: str
    field: BoundField
    place: Place | None


class FingeringForm(PlainForm, forms.Form):
    open_strings = forms.ChoiceField(
        label=_("Open strings"), choices=ScaleInHand.OpenStrings.choices, widget=forms.RadioSelect
    )
    highest = forms.TypedChoiceField(
        label=_("Highest position"), choices=highest_choices, coerce=int
    )

    def __init__(self, *args: Any, scale: ScaleInHand, empty: bool = False, **kwargs: Any) -> None:
        self.kept = replace(scale.how, fingers="") if empty else scale.how
        initial = {"open_strings": self.kept.open_strings, "highest": self.kept.highest}
        super().__init__(*args, initial=initial, **kwargs)
        self.run = run_of(parse_key(scale.key), scale.form, scale.octaves, self.kept)
        written = self.kept.own
        for number, pitch in enumerate(self.pitches):
            own = written.get(number)
            self.fields[f"note-{number}"] = forms.CharField(
                label=self._label(number, pitch),
                required=False,
                max_length=LONGEST,
                initial=own.shown if own else "",
            )
        self.phrase()

    @property
    def pitches(self) -> tuple[Pitch, ...]:
        return self.run.there_and_back

    def _label(self, number: int, pitch: Pitch) -> str:
        top = len(self.run.up) - 1
        if number == top:
            label = gettext("{note}, at the top")
        else:
            label = gettext("{note}, going up") if number < top else gettext("{note}, coming down")
        return label.format(note=pitch.text())

    @property
    def ways(self) -> list[tuple[str, list[Note]]]:
        """The way up with the top note, and the way down."""
        notes = list(self._notes())
        top = len(self.run.up)
        return [
            (pgettext("a scale", "Up"), notes[:top]),
            (pgettext("a scale", "Down"), notes[top:]),
        ]

    def _notes(self) -> Iterator[Note]:
        try:
            places = fingering(self.pitches, self.how.rules).places
        except MusicError:
            places = ()
        for number, pitch in enumerate(self.pitches):
            place = places[number] if places else None
            yield Note(pitch.sign, self[f"note-{number}"], place)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        rules = self._asked(cleaned).rules
        self.written: dict[int, Own] = {}
        for number, pitch in enumerate(self.pitches):
            name = f"note-{number}"
            try:
                own = parse_own(cleaned.get(name, ""))
                fingering([pitch], rules, fixed={0: own} if own else None)
            except MusicError as error:
                self.add_error(name, str(error))
                continue
            if own:
                self.written[number] = own
        return cleaned

    def _asked(self, given: dict[str, Any]) -> How:
        return replace(
            self.kept,
            open_strings=given.get("open_strings", self.kept.open_strings),
            highest=given.get("highest", self.kept.highest),
        )

    @property
    def how(self) -> How:
        """As kept, or as asked for; of a form with mistakes whatever of it can be played."""
        if not self.is_bound:
            return self.kept
        self.is_valid()
        return replace(self._asked(self.cleaned_data), fingers=fingers_code(self.written))
