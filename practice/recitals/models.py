"""A recital's programme: the pieces in their order, and the teacher's thanks."""

from __future__ import annotations

from collections.abc import Iterable
from functools import reduce
from operator import or_

from django.core.validators import MaxLengthValidator, MaxValueValidator
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _
from django.utils.translation import pgettext_lazy

from practice.programme.rules import Character, Siblings
from practice.programme.timing import LONGEST, SHORTEST
from studio.people.models import one_line

MOST_WORDS = 2000  # characters of thanks, which must fit a page
TOO_MUCH = _("%(show_value)s is too much; at most %(limit_value)s.")
CHARACTERS = [
    (Character.OTHER, pgettext_lazy("slow or fast", "neither")),
    (Character.SLOW, _("slow")),
    (Character.FAST, _("fast")),
]
SIBLINGS = [
    (Siblings.APART, pgettext_lazy("children of one family play", "apart")),
    (Siblings.TOGETHER, pgettext_lazy("children of one family play", "one after the other")),
    (Siblings.FREE, pgettext_lazy("children of one family play", "as it comes")),
]


class Programme(models.Model):
    """How a recital's pieces are ordered and timed.

    `interval_after` counts the pieces before the interval, 0: there is none. `thanks` is written
    once for all players; `[name]` in it becomes the first name.
    """

    recital = models.OneToOneField(
        "studio.Recital", on_delete=models.CASCADE, related_name="programme"
    )
    accompanist = models.CharField(max_length=80, blank=True, validators=[one_line])
    siblings = models.CharField(max_length=8, choices=SIBLINGS, default=Siblings.APART)
    most_with_piano = models.PositiveSmallIntegerField(
        default=3, validators=[MaxValueValidator(60, TOO_MUCH)]
    )
    change_seconds = models.PositiveSmallIntegerField(
        default=40, validators=[MaxValueValidator(600, TOO_MUCH)]
    )
    interval_after = models.PositiveSmallIntegerField(default=0)
    interval_minutes = models.PositiveSmallIntegerField(
        default=15, validators=[MaxValueValidator(60, TOO_MUCH)]
    )
    moved_by_hand = models.BooleanField(default=False)
    thanks = models.TextField(blank=True, validators=[MaxLengthValidator(MOST_WORDS)])

    def __str__(self) -> str:
        # no words: for programmers
        return f"programme of {self.recital}"


class Performance(models.Model):
    """One piece played by one student, or by two together.

    `seconds` None: nobody has taken the time yet, and a guess stands in.
    """

    programme = models.ForeignKey(Programme, on_delete=models.CASCADE, related_name="performances")
    student = models.ForeignKey(
        "studio.Student", on_delete=models.CASCADE, related_name="performances"
    )
    partner = models.ForeignKey(
        "studio.Student", on_delete=models.SET_NULL, null=True, blank=True, related_name="+"
    )
    work = models.ForeignKey("practice.Work", on_delete=models.PROTECT, related_name="performances")
    seconds = models.PositiveSmallIntegerField(null=True, blank=True)
    character = models.CharField(max_length=5, choices=CHARACTERS, default=Character.OTHER)
    with_piano = models.BooleanField(default=False)
    place = models.PositiveSmallIntegerField(default=1)

    class Meta:
        ordering = ["place", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["programme", "student", "work"], name="performance_once_a_programme"
            ),
            models.CheckConstraint(
                condition=Q(seconds__isnull=True) | Q(seconds__gte=SHORTEST, seconds__lte=LONGEST),
                name="performance_length_possible",
            ),
            models.CheckConstraint(
                condition=Q(partner__isnull=True) | ~Q(partner=F("student")),
                name="performance_two_are_two",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.student}: {self.work}"


class Thanks(models.Model):
    """The teacher's own words to one player, in place of those for all."""

    programme = models.ForeignKey(Programme, on_delete=models.CASCADE, related_name="own_thanks")
    student = models.ForeignKey("studio.Student", on_delete=models.CASCADE, related_name="+")
    words = models.TextField(validators=[MaxLengthValidator(MOST_WORDS)])

    class Meta:
        verbose_name_plural = "thanks"
        constraints = [
            models.UniqueConstraint(fields=["programme", "student"], name="thanks_once_a_player"),
        ]

    def __str__(self) -> str:
        # no words: for programmers
        return f"thanks to {self.student}"


def of_pairs(pairs: Iterable[tuple[int, int]]) -> Q:
    """Rows of these students and works, each pair named: there are few in a programme."""
    each = (Q(student=student, work=work) for student, work in pairs)
    return reduce(or_, each, Q(pk__in=[]))
