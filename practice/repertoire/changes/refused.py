"""What every change shares: the refusal, the lock on a student, the checked save."""

from __future__ import annotations

from typing import TypeVar

from django.core.exceptions import NON_FIELD_ERRORS, ValidationError
from django.db import models
from django.utils.translation import gettext as _

from practice.repertoire.models import FASTEST, SLOWEST
from studio.people.models import Student

Row = TypeVar("Row", bound=models.Model)  # no words: a type


class Refused(Exception):
    """A change the rules forbid. `sentence` is for the teacher, `field` what it is about."""

    def __init__(self, sentence: str, field: str | None = None) -> None:
        super().__init__(sentence)
        self.sentence = sentence
        self.field = field


def lock(student: Student) -> None:
    """Two windows that change one student's repertoire come one after the other."""
    Student.objects.select_for_update().get(pk=student.pk)


def saved(row: Row) -> Row:
    """Saves a valid row; what the model itself forbids is refused with its own sentence."""
    try:
        row.full_clean()
    except ValidationError as error:
        field, problems = next(iter(error.message_dict.items()))
        raise Refused(problems[0], None if field == NON_FIELD_ERRORS else field) from error
    row.save()
    return row


def check_tempo(value: int, field: str, name: str) -> None:
    if not SLOWEST <= value <= FASTEST:
        sentence = _("{name}: {value} is outside {slowest} to {fastest} beats a minute.")
        raise Refused(
            sentence.format(name=name, value=value, slowest=SLOWEST, fastest=FASTEST), field
        )


def tempo_order(now: int, goal: int) -> Refused:
    sentence = _("The tempo wanted, {goal}, lies below the tempo now, {now}.")
    return Refused(sentence.format(goal=goal, now=now), "tempo_goal")
