"""What a student works on: pieces, spots and favourites; scale and etude are in `exercises`."""

from __future__ import annotations

from django.core.validators import MaxValueValidator
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext, ngettext
from django.utils.translation import gettext_lazy as _

from practice.repertoire.exercises import EtudeInHand, ScaleInHand
from practice.repertoire.library import (
    FASTEST,
    SLOWEST,
    TOO_MUCH,
    Bowing,
    Idea,
    Work,
    WorkQuerySet,
    tempo_limits,
)
from studio.people.models import one_line

__all__ = [
    "FASTEST",
    "SLOWEST",
    "Bowing",
    "EtudeInHand",
    "Favourite",
    "Idea",
    "PieceInHand",
    "ScaleInHand",
    "Spot",
    "Work",
    "WorkQuerySet",
]


class PieceInHandQuerySet(models.QuerySet["PieceInHand"]):
    def in_hand(self) -> PieceInHandQuerySet:
        return self.filter(finished__isnull=True)

    def learned(self) -> PieceInHandQuerySet:
        """Finished ones; a piece set aside is not among them."""
        return self.filter(stage=PieceInHand.Stage.FINISHED)


class PieceInHand(models.Model):
    """A piece a student works on; place 1 or 2, so that no third one fits.

    `finished` is the day it left the hand, whether thoroughly learned or set aside.
    """

    class Stage(models.TextChoices):
        READING = "reading", _("reading")
        WORKING_UP = "working-up", _("working up")
        POLISHING = "polishing", _("polishing")
        FINISHED = "finished", _("finished")
        SET_ASIDE = "set-aside", _("set aside")

    IN_HAND = (Stage.READING, Stage.WORKING_UP, Stage.POLISHING)

    student = models.ForeignKey("studio.Student", on_delete=models.CASCADE, related_name="pieces")
    work = models.ForeignKey(Work, on_delete=models.PROTECT, related_name="in_hand")
    place = models.PositiveSmallIntegerField(default=1)
    stage = models.CharField(max_length=10, choices=Stage.choices, default=Stage.READING)
    note = models.CharField(max_length=200, blank=True, validators=[one_line])
    started = models.DateField()
    finished = models.DateField(null=True, blank=True)

    objects = PieceInHandQuerySet.as_manager()

    class Meta:
        verbose_name_plural = _("pieces in hand")
        ordering = ["place", "pk"]
        constraints = [
            models.CheckConstraint(condition=Q(place__in=[1, 2]), name="piece_place_one_or_two"),
            models.UniqueConstraint(
                fields=["student", "place"],
                condition=Q(finished__isnull=True),
                name="piece_two_in_hand_at_most",
            ),
            models.CheckConstraint(
                condition=Q(finished__isnull=True) | Q(finished__gte=F("started")),
                name="piece_finished_after_start",
                violation_error_message=_("The piece left the hand before it was started."),
            ),
            models.CheckConstraint(
                condition=Q(
                    finished__isnull=True,
                    stage__in=["reading", "working-up", "polishing"],
                )
                | Q(finished__isnull=False, stage__in=["finished", "set-aside"]),
                name="piece_finished_has_a_day",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.work}"


class Spot(models.Model):
    """The hard bars of a piece: what is wrong, tempo now and tempo wanted (beats a minute)."""

    class State(models.TextChoices):
        TROUBLED = "troubled", _("troubled")
        FIRMING = "firming", _("firming up")
        FIRM = "firm", _("firm")
        SOLVED = "solved", _("solved")

    piece = models.ForeignKey(PieceInHand, on_delete=models.CASCADE, related_name="spots")
    first_bar = models.PositiveSmallIntegerField(validators=[MaxValueValidator(9999, TOO_MUCH)])
    last_bar = models.PositiveSmallIntegerField(validators=[MaxValueValidator(9999, TOO_MUCH)])
    what = models.CharField(max_length=200, validators=[one_line])
    tempo_now = models.PositiveSmallIntegerField(default=60, validators=tempo_limits)
    tempo_goal = models.PositiveSmallIntegerField(default=80, validators=tempo_limits)
    state = models.CharField(max_length=8, choices=State.choices, default=State.TROUBLED)
    hardness = models.PositiveSmallIntegerField(default=1, help_text=_("1 is practised first."))
    excerpt = models.TextField(
        blank=True, max_length=2000, help_text=_("The bars in ABC notation.")
    )
    easier_key = models.CharField(
        max_length=30, blank=True, help_text=_("The bars are a second exercise in this key.")
    )
    opened = models.DateField()
    solved = models.DateField(null=True, blank=True)

    class Meta:
        ordering = ["hardness", "first_bar", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(first_bar__gte=1, last_bar__gte=F("first_bar")),
                name="spot_bars_in_order",
                violation_error_message=_("The last bar lies before the first."),
            ),
            models.CheckConstraint(
                condition=Q(tempo_goal__gte=F("tempo_now")),
                name="spot_tempo_wanted_not_below_now",
                violation_error_message=_("The tempo wanted lies below the tempo now."),
            ),
            models.CheckConstraint(
                condition=Q(tempo_now__gte=SLOWEST, tempo_goal__lte=FASTEST),
                name="spot_tempo_limits",
            ),
            models.CheckConstraint(
                condition=Q(solved__isnull=True) ^ Q(state="solved"),
                name="spot_solved_has_a_day",
            ),
        ]

    def __str__(self) -> str:
        return self.label

    @property
    def label(self) -> str:
        """ "bar 3" or "bars 7 to 8"."""
        if self.first_bar == self.last_bar:
            return gettext("bar {number}").format(number=self.first_bar)
        return gettext("bars {first} to {last}").format(first=self.first_bar, last=self.last_bar)

    @property
    def bar_word(self) -> str:
        return ngettext("bar", "bars", 1 if self.first_bar == self.last_bar else 2)

    @property
    def bars(self) -> str:
        """ "3" or "7 to 8"."""
        if self.first_bar == self.last_bar:
            return str(self.first_bar)
        return gettext("{first} to {last}").format(first=self.first_bar, last=self.last_bar)


class Favourite(models.Model):
    """A finished piece the student likes and plays well."""

    student = models.ForeignKey(
        "studio.Student", on_delete=models.CASCADE, related_name="favourites"
    )
    work = models.ForeignKey(Work, on_delete=models.PROTECT, related_name="as_favourite")
    since = models.DateField()
    retired = models.DateField(null=True, blank=True)

    class Meta:
        ordering = ["since", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["student", "work"],
                condition=Q(retired__isnull=True),
                name="favourite_once",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.work}"
