"""Terms, the days on which the studio is closed, and its recitals."""

from __future__ import annotations

import datetime as dt
import uuid
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from studio.dates.zones import to_utc
from studio.people.models import one_line

if TYPE_CHECKING:
    from studio.access.models import Studio
    from studio.people.models import Family


class TermQuerySet(models.QuerySet["Term"]):
    def of(self, studio: Studio) -> TermQuerySet:
        return self.filter(studio=studio)

    def on(self, day: dt.date) -> Term | None:
        """The term that holds this day."""
        return self.filter(starts__lte=day, ends__gte=day).first()


class Term(models.Model):
    """A stretch of weeks with lessons; both days belong to it."""

    studio = models.ForeignKey("studio.Studio", on_delete=models.CASCADE, related_name="terms")
    name = models.CharField(max_length=80, validators=[one_line])
    starts = models.DateField()
    ends = models.DateField()

    objects = TermQuerySet.as_manager()

    class Meta:
        ordering = ["starts"]
        constraints = [
            models.CheckConstraint(
                condition=Q(ends__gt=F("starts")),
                name="term_ends_after_start",
                violation_error_message=_("The term ends before it starts."),
            ),
        ]

    def __str__(self) -> str:
        return self.name

    def holds(self, day: dt.date) -> bool:
        return self.starts <= day <= self.ends


class Closure(models.Model):
    """Days without lessons inside or outside a term; both days belong to it."""

    studio = models.ForeignKey("studio.Studio", on_delete=models.CASCADE, related_name="closures")
    name = models.CharField(max_length=80, validators=[one_line])
    starts = models.DateField()
    ends = models.DateField()

    class Meta:
        ordering = ["starts"]
        constraints = [
            models.CheckConstraint(
                condition=Q(ends__gte=F("starts")),
                name="closure_ends_after_start",
                violation_error_message=_("The closure ends before it starts."),
            ),
        ]

    def __str__(self) -> str:
        return self.name


class RecitalQuerySet(models.QuerySet["Recital"]):
    def of(self, studio: Studio) -> RecitalQuerySet:
        return self.filter(studio=studio)

    def held(self) -> RecitalQuerySet:
        """Those that take place or took place."""
        return self.filter(called_off=False)

    def for_family(self, family: Family) -> RecitalQuerySet:
        """Those in which someone of the family plays."""
        playing = Recital.players.through.objects.filter(student__family=family)
        return self.filter(pk__in=playing.values("recital"))

    def next_day(self, studio: Studio, today: dt.date) -> dt.date | None:
        """The day of the studio's next recital, today's included."""
        coming = self.of(studio).held().filter(date__gte=today).order_by("date")
        return coming.values_list("date", flat=True).first()


class Recital(models.Model):
    """Students play to their families: local date and wall time, the instant is derived.

    `minutes` is the length wished for. `players` are kept by whoever writes the programme; their
    families find the recital in their calendars.
    """

    SAID = ("name", "date", "starts", "minutes", "place")  # what an invitation tells

    studio = models.ForeignKey("studio.Studio", on_delete=models.CASCADE, related_name="recitals")
    name = models.CharField(max_length=80, validators=[one_line])
    date = models.DateField()
    starts = models.TimeField()
    place = models.CharField(max_length=120, blank=True, validators=[one_line])
    minutes = models.PositiveSmallIntegerField(
        default=60,
        validators=[
            MinValueValidator(
                5, _("A recital of %(show_value)s minutes is too short; at least 5.")
            ),
            MaxValueValidator(
                300, _("A recital of %(show_value)s minutes is too long; at most 300.")
            ),
        ],
    )
    called_off = models.BooleanField(default=False)
    players = models.ManyToManyField("studio.Student", related_name="recitals", blank=True)
    # Written down only when the studio has since moved to another zone.
    zone = models.CharField(max_length=64, blank=True)
    # The identity a calendar program sees (RFC 5545 UID and SEQUENCE).
    uid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    sequence = models.PositiveIntegerField(default=0)
    changed = models.DateTimeField(auto_now=True)

    objects = RecitalQuerySet.as_manager()

    class Meta:
        ordering = ["date", "starts", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(minutes__gte=5, minutes__lte=300), name="recital_minutes"
            ),
        ]

    def __str__(self) -> str:
        return self.name

    def begins(self, zone: ZoneInfo) -> dt.datetime:
        """The instant at which it starts, in UTC; NoSuchTimeError if there is none."""
        return to_utc(self.date, self.starts, ZoneInfo(self.zone) if self.zone else zone)

    def told(self) -> None:
        """Saves what invited families have been told otherwise before."""
        self.sequence += 1
        self.save()
