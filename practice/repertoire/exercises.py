"""The scale and the etude a student has in hand."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from practice.music.how import How, Named
from practice.music.violin import HIGHEST_POSITION, STRINGS
from practice.repertoire.library import Work, tempo_limits
from studio.people.models import one_line


class ScaleInHand(models.Model):
    """The key a student lives in until hands run by themselves; one open at a time.

    `bowing_1` and `bowing_2` name a pattern: a catalogue id such as "slur4", "spot:12" for the
    bowing borrowed from a spot, or "own:3" for one of the teacher's own; "slur4+doubled" is a
    variation of it. `fingers` are the teacher's own, as `practice.music.own_fingers` writes them.
    """

    class Form(models.TextChoices):
        MAJOR = "major", _("major")
        NATURAL = "natural", _("natural minor")
        HARMONIC = "harmonic", _("harmonic minor")
        MELODIC = "melodic", _("melodic minor")

    class OpenStrings(models.TextChoices):
        USE = "use", _("wherever the hand allows")
        AVOID = "avoid", _("avoided")

    student = models.ForeignKey("studio.Student", on_delete=models.CASCADE, related_name="scales")
    key = models.CharField(max_length=30, help_text=_("For example G major or B flat minor."))
    form = models.CharField(max_length=8, choices=Form.choices, default=Form.MAJOR)
    octaves = models.PositiveSmallIntegerField(default=1)
    string = models.CharField(max_length=1, blank=True, help_text=_("For a scale on one string."))
    over_top = models.PositiveSmallIntegerField(default=0, help_text=_("Notes over the top."))
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
        verbose_name_plural = _("scales in hand")
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
        verbose_name_plural = _("etudes in hand")
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
