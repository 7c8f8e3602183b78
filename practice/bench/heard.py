"""What was heard at the lesson: four marks, and the scale's tempo and bowings."""

from __future__ import annotations

from typing import Any

from django import forms
from django.db import transaction
from django.utils.translation import gettext_lazy as _

from practice.bench.fields import TempoField
from practice.bench.widgets import Select
from practice.logs.models import Mark, ScaleHeard
from practice.planning.words import sentence_case
from practice.repertoire.models import ScaleInHand
from studio.lessons.models import Lesson
from studio.web.forms import PlainForm

GRADES = [("", _("not noted")), *Mark.Heard.choices]


class HeardForm(PlainForm, forms.Form):
    """Every field may stay empty; an emptied one takes back what was noted."""

    prefix = "heard"
    tempo = TempoField(label=_("Scale at"), required=False)
    with_bowings = forms.BooleanField(label=_("in the chosen bowings"), required=False)

    def __init__(self, *args: Any, lesson: Lesson, scale: ScaleInHand, **kwargs: Any) -> None:
        self.lesson, self.scale = lesson, scale
        super().__init__(*args, initial=_noted(lesson, scale), **kwargs)
        for aspect in Mark.Aspect:
            self.fields[aspect.value] = forms.TypedChoiceField(
                label=sentence_case(str(aspect.label)),
                required=False,
                choices=GRADES,
                coerce=int,
                empty_value=None,
                widget=Select,
            )
        self.phrase()
        for field in self.fields.values():
            field.widget.attrs["form"] = "heard"

    @property
    def aspects(self) -> list[forms.BoundField]:
        return [self[aspect.value] for aspect in Mark.Aspect]

    @transaction.atomic
    def save(self) -> None:
        given = self.cleaned_data
        for aspect in Mark.Aspect:
            grade = given[aspect.value]
            if grade is None:
                Mark.objects.filter(lesson=self.lesson, aspect=aspect).delete()
            else:
                Mark.objects.update_or_create(
                    lesson=self.lesson, aspect=aspect, defaults={"heard": grade}
                )
        if given["tempo"] is None and not given["with_bowings"]:
            ScaleHeard.objects.filter(lesson=self.lesson).delete()
        else:
            ScaleHeard.objects.update_or_create(
                lesson=self.lesson,
                defaults={
                    "scale": self.scale,
                    "tempo": given["tempo"],
                    "with_bowings": given["with_bowings"],
                },
            )


def _noted(lesson: Lesson, scale: ScaleInHand) -> dict[str, Any]:
    noted: dict[str, Any] = {mark.aspect: mark.heard for mark in lesson.marks.all()}
    heard = ScaleHeard.objects.filter(lesson=lesson, scale=scale).first()
    if heard is not None:
        noted |= {"tempo": heard.tempo, "with_bowings": heard.with_bowings}
    return noted
