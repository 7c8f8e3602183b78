"""What a student works on: pieces, spots, scale, etude and favourites."""

from __future__ import annotations

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q

from practice.music.how import How, Named
from practice.music.violin import HIGHEST_POSITION, STRINGS
from practice.repertoire.library import TOO_LITTLE, TOO_MUCH, Bowing, Idea, Work, WorkQuerySet
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

SLOWEST, FASTEST = 20, 300
tempo_limits = [MinValueValidator(SLOWEST, TOO_LITTLE), MaxValueValidator(FASTEST, TOO_MUCH)]


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
        READING = "reading", "reading"
        WORKING_UP = "working-up", "working up"
        POLISHING = "polishing", "polishing"
        FINISHED = "finished", "finished"
        SET_ASIDE = "set-aside", "set aside"

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
        verbose_name_plural = "pieces in hand"
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
                violation_error_message="The piece left the hand before it was started.",
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
        TROUBLED = "troubled", "troubled"
        FIRMING = "firming", "firming up"
        FIRM = "firm", "firm"
        SOLVED = "solved", "solved"

    piece = models.ForeignKey(PieceInHand, on_delete=models.CASCADE, related_name="spots")
    first_bar = models.PositiveSmallIntegerField(validators=[MaxValueValidator(9999, TOO_MUCH)])
    last_bar = models.PositiveSmallIntegerField(validators=[MaxValueValidator(9999, TOO_MUCH)])
    what = models.CharField(max_length=200, validators=[one_line])
    tempo_now = models.PositiveSmallIntegerField(default=60, validators=tempo_limits)
    tempo_goal = models.PositiveSmallIntegerField(default=80, validators=tempo_limits)
    state = models.CharField(max_length=8, choices=State.choices, default=State.TROUBLED)
    hardness = models.PositiveSmallIntegerField(default=1, help_text="1 is practised first.")
    excerpt = models.TextField(blank=True, max_length=2000, help_text="The bars in ABC notation.")
    easier_key = models.CharField(
        max_length=30, blank=True, help_text="The bars are a second exercise in this key."
    )
    opened = models.DateField()
    solved = models.DateField(null=True, blank=True)

    class Meta:
        ordering = ["hardness", "first_bar", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(first_bar__gte=1, last_bar__gte=F("first_bar")),
                name="spot_bars_in_order",
                violation_error_message="The last bar lies before the first.",
            ),
            models.CheckConstraint(
                condition=Q(tempo_goal__gte=F("tempo_now")),
                name="spot_tempo_wanted_not_below_now",
                violation_error_message="The tempo wanted lies below the tempo now.",
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
        return f"{self.bar_word} {self.bars}"

    @property
    def bar_word(self) -> str:
        return "bar" if self.first_bar == self.last_bar else "bars"

    @property
    def bars(self) -> str:
        """ "3" or "7 to 8"."""
        if self.first_bar == self.last_bar:
            return str(self.first_bar)
        return f"{self.first_bar} to {self.last_bar}"


class ScaleInHand(models.Model):
    """The key a student lives in until hands run by themselves; one open at a time.

    `bowing_1` and `bowing_2` name a pattern: a catalogue id such as "slur4", "spot:12" for the
    bowing borrowed from a spot, or "own:3" for one of the teacher's own; "slur4+doubled" is a
    variation of it. `fingers` are the teacher's own, as `practice.music.own_fingers` writes them.
    """

    class Form(models.TextChoices):
        MAJOR = "major", "major"
        NATURAL = "natural", "natural minor"
        HARMONIC = "harmonic", "harmonic minor"
        MELODIC = "melodic", "melodic minor"

    class OpenStrings(models.TextChoices):
        USE = "use", "wherever the hand allows"
        AVOID = "avoid", "avoided"

    student = models.ForeignKey("studio.Student", on_delete=models.CASCADE, related_name="scales")
    key = models.CharField(max_length=30, help_text="For example G major or B flat minor.")
    form = models.CharField(max_length=8, choices=Form.choices, default=Form.MAJOR)
    octaves = models.PositiveSmallIntegerField(default=1)
    string = models.CharField(max_length=1, blank=True, help_text="For a scale on one string.")
    over_top = models.PositiveSmallIntegerField(default=0, help_text="Notes over the top.")
    open_strings = models.CharField(
        max_length=5, choices=OpenStrings.choices, default=OpenStrings.USE
    )
    highest_position = models.PositiveSmallIntegerField(default=HIGHEST_POSITION)
    fingers = models.CharField(max_length=500, blank=True)
    bowing_1 = models.CharField(max_length=40, blank=True)
    bowing_2 = models.CharField(max_length=40, blank=True)
    tempo_now = models.PositiveSmallIntegerField(null=True, blank=True, validators=tempo_limits)
    tempo_goal = models.PositiveSmallIntegerField(null=True, blank=True, validators=tempo_limits)
    since = models.DateField()
    until = models.DateField(null=True, blank=True)

    class Meta:
        verbose_name_plural = "scales in hand"
        ordering = ["-since", "-pk"]
        constraints = [
            models.CheckConstraint(condition=Q(octaves__in=[1, 2, 3]), name="scale_octaves"),
            models.CheckConstraint(
                condition=Q(string__in=["", *STRINGS], over_top__in=[0, 1, 2, 3]),
                name="scale_string_and_top",
            ),
            models.UniqueConstraint(
                fields=["student"],
                condition=Q(until__isnull=True),
                name="scale_one_in_hand",
            ),
            models.CheckConstraint(
                condition=Q(until__isnull=True) | Q(until__gte=F("since")),
                name="scale_ends_after_start",
            ),
        ]

    def __str__(self) -> str:
        return self.key

    @property
    def named(self) -> Named:
        return self.key, self.form, self.octaves

    @property
    def how(self) -> How:
        avoid = self.open_strings == self.OpenStrings.AVOID
        return How(
            string=self.string,
            over=self.over_top,
            open_strings="avoid" if avoid else "use",
            highest=self.highest_position,
            fingers=self.fingers,
        )

    def play(self, how: How) -> None:
        """Takes all of it; the caller saves."""
        self.string, self.over_top = how.string, how.over
        self.open_strings, self.highest_position = how.open_strings, how.highest
        self.fingers = how.fingers


class EtudeInHand(models.Model):
    """The etude, or the method-book exercise that stands in for one; one open at a time."""

    student = models.ForeignKey("studio.Student", on_delete=models.CASCADE, related_name="etudes")
    work = models.ForeignKey(Work, on_delete=models.PROTECT, related_name="as_etude")
    lines = models.CharField(max_length=80, blank=True, validators=[one_line])
    cue = models.CharField(max_length=200, blank=True, validators=[one_line])
    since = models.DateField()
    until = models.DateField(null=True, blank=True)

    class Meta:
        verbose_name_plural = "etudes in hand"
        ordering = ["-since", "-pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["student"],
                condition=Q(until__isnull=True),
                name="etude_one_in_hand",
            ),
            models.CheckConstraint(
                condition=Q(until__isnull=True) | Q(until__gte=F("since")),
                name="etude_ends_after_start",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.work}"


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
