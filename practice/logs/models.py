"""What came back from home, and what was heard at the lesson."""

from __future__ import annotations

from django.core.validators import MaxValueValidator
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _
from django.utils.translation import pgettext_lazy

from practice.repertoire.models import FASTEST, SLOWEST

MOST_MINUTES_AN_ITEM = 240


class LogEntry(models.Model):
    """What happened to one item of a plan: minutes as planned unless home says otherwise."""

    class Source(models.TextChoices):
        HOME = "home", _("home page")
        PAPER = "paper", _("paper sheet")
        FILE = "file", _("take-home file")

    item = models.OneToOneField("practice.Item", on_delete=models.CASCADE, related_name="log")
    done = models.BooleanField(default=True)
    minutes = models.PositiveSmallIntegerField(validators=[MaxValueValidator(MOST_MINUTES_AN_ITEM)])
    tempo = models.PositiveSmallIntegerField(null=True, blank=True)
    source = models.CharField(max_length=5, choices=Source.choices)
    # When home last spoke of each, on the device it was said on.
    done_told = models.DateTimeField(null=True, blank=True)
    minutes_told = models.DateTimeField(null=True, blank=True)
    tempo_told = models.DateTimeField(null=True, blank=True)

    class Meta:
        verbose_name_plural = _("log entries")
        constraints = [
            models.CheckConstraint(
                condition=Q(minutes__lte=MOST_MINUTES_AN_ITEM), name="log_minutes_possible"
            ),
            models.CheckConstraint(
                condition=Q(tempo__isnull=True) | Q(tempo__gte=SLOWEST, tempo__lte=FASTEST),
                name="log_tempo_possible",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.item}: {self.minutes} min"  # no words: for programmers


class Word(models.Model):
    """A word from home to the teacher."""

    student = models.ForeignKey("studio.Student", on_delete=models.CASCADE, related_name="words")
    plan = models.ForeignKey(
        "practice.Plan", on_delete=models.SET_NULL, null=True, blank=True, related_name="words"
    )
    date = models.DateField()
    text = models.CharField(max_length=500)
    source = models.CharField(max_length=5, choices=LogEntry.Source.choices)
    key = models.UUIDField(unique=True, null=True, blank=True)
    written = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-date", "-written"]

    def __str__(self) -> str:
        return self.text


class Receipt(models.Model):
    """A message from home that has been taken in; the same key again changes nothing."""

    key = models.UUIDField(primary_key=True)
    student = models.ForeignKey("studio.Student", on_delete=models.CASCADE, related_name="+")
    received = models.DateTimeField()

    def __str__(self) -> str:
        return f"{self.key}"


class Mark(models.Model):
    """Heard at the lesson: one of four things, in one of three grades in words."""

    class Aspect(models.TextChoices):
        NOTES = "notes", pgettext_lazy("heard at the lesson", "notes")
        BOW = "bow", pgettext_lazy("heard at the lesson", "bow")
        TONE = "tone", pgettext_lazy("heard at the lesson", "tone")
        EASE = "ease", pgettext_lazy("heard at the lesson", "ease")

    class Heard(models.IntegerChoices):
        NOT_YET = 1, pgettext_lazy("heard at the lesson", "not yet")
        COMING = 2, pgettext_lazy("heard at the lesson", "coming")
        STEADY = 3, pgettext_lazy("heard at the lesson", "steady")

    lesson = models.ForeignKey("studio.Lesson", on_delete=models.CASCADE, related_name="marks")
    aspect = models.CharField(max_length=5, choices=Aspect.choices)
    heard = models.PositiveSmallIntegerField(choices=Heard.choices)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["lesson", "aspect"], name="mark_once_a_lesson"),
            models.CheckConstraint(condition=Q(heard__in=[1, 2, 3]), name="mark_in_three_grades"),
        ]

    def __str__(self) -> str:
        return f"{self.get_aspect_display()}: {self.get_heard_display()}"


class ScaleHeard(models.Model):
    """The scale at a lesson, beside its marks: how fast, and whether in its chosen bowings."""

    lesson = models.OneToOneField(
        "studio.Lesson", on_delete=models.CASCADE, related_name="scale_heard"
    )
    scale = models.ForeignKey(
        "practice.ScaleInHand", on_delete=models.CASCADE, related_name="heard"
    )
    tempo = models.PositiveSmallIntegerField(null=True, blank=True)
    with_bowings = models.BooleanField(default=False)

    class Meta:
        verbose_name_plural = _("scales heard")
        constraints = [
            models.CheckConstraint(
                condition=Q(tempo__isnull=True) | Q(tempo__gte=SLOWEST, tempo__lte=FASTEST),
                name="scale_heard_tempo_possible",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.scale} on {self.lesson}"  # no words: for programmers


class LessonNote(models.Model):
    """The teacher's note on a lesson: private, or printed on the sheet by her choice."""

    lesson = models.ForeignKey("studio.Lesson", on_delete=models.CASCADE, related_name="notes")
    text = models.CharField(max_length=1000)
    on_sheet = models.BooleanField(default=False)
    written = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-written"]

    def __str__(self) -> str:
        return self.text
