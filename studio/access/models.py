"""The studio itself, and how often an unproven visitor may try."""

from __future__ import annotations

from functools import cache
from zoneinfo import available_timezones

from django.conf import settings
from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from studio import language


@cache
def zone_names() -> frozenset[str]:
    return frozenset(available_timezones())


def validate_zone(name: str) -> None:
    if name not in zone_names():
        raise ValidationError(
            _("“%(name)s” is no known time zone. Write it like Europe/Lisbon."),
            code="zone",
            params={"name": name},
        )


def _within(field: str, least: int, most: int) -> models.CheckConstraint:
    return models.CheckConstraint(
        condition=Q(**{f"{field}__gte": least, f"{field}__lte": most}),
        name=f"studio_{field}_range",
        # no words: a form has looked before the database does
        violation_error_message=f"{field} must be between {least} and {most}.",
    )


def _between(least: int, most: int) -> list[MinValueValidator | MaxValueValidator]:
    return [
        MinValueValidator(least, _("%(show_value)s is too little; at least %(limit_value)s.")),
        MaxValueValidator(most, _("%(show_value)s is too much; at most %(limit_value)s.")),
    ]


class Studio(models.Model):
    """One teacher's studio. Several may share an installation; each is blind to the others."""

    class Paper(models.TextChoices):
        A4 = "A4", "A4"
        LETTER = "Letter", _("US Letter")  # no words: a key

    class Weekday(models.IntegerChoices):
        MONDAY = 0, _("Monday")
        TUESDAY = 1, _("Tuesday")
        WEDNESDAY = 2, _("Wednesday")
        THURSDAY = 3, _("Thursday")
        FRIDAY = 4, _("Friday")
        SATURDAY = 5, _("Saturday")
        SUNDAY = 6, _("Sunday")

    class NoteNames(models.TextChoices):
        BY_LANGUAGE = "", _("As the language has them")
        LETTERS = language.LETTERS, _("C, F sharp, B flat, B")
        GERMAN = language.GERMAN, _("C, Fis, B, H")
        SYLLABLES = language.SYLLABLES, _("Do, Fa sharp, Si flat, Si")

    owner = models.OneToOneField(
        settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="studio"
    )
    name = models.CharField(max_length=80)
    teacher = models.CharField(max_length=80, help_text=_("As signed on the sheet."))
    zone = models.CharField(max_length=64, validators=[validate_zone])
    locale = models.CharField(max_length=16, default="en")
    # What notes are called; empty: as the language has it.
    note_names = models.CharField(
        max_length=10, choices=NoteNames.choices, default=NoteNames.BY_LANGUAGE, blank=True
    )
    paper = models.CharField(max_length=6, choices=Paper.choices, default=Paper.A4)
    week_start = models.PositiveSmallIntegerField(choices=Weekday.choices, default=Weekday.MONDAY)
    clock_24h = models.BooleanField(default=True)
    # A session longer than `rest_after` minutes shows a rest of `rest_minutes`: a habit, no law.
    rest_after = models.PositiveSmallIntegerField(default=25, validators=_between(10, 90))
    rest_minutes = models.PositiveSmallIntegerField(default=5, validators=_between(1, 30))
    # How much a week's minutes may grow over the four before it without a caution.
    growth_limit_percent = models.PositiveSmallIntegerField(default=25, validators=_between(1, 200))
    # Lessons in a row at which a thing must be steady before moving on is suggested.
    steady_lessons = models.PositiveSmallIntegerField(default=2, validators=_between(1, 8))
    a4_hz = models.PositiveSmallIntegerField(default=440, validators=_between(415, 446))
    # From this age on a child gets by default a home page that shows no other child's.
    own_link_age = models.PositiveSmallIntegerField(default=13, validators=_between(5, 30))
    created = models.DateTimeField(auto_now_add=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(paper__in=["A4", "Letter"]),  # no words: keys
                name="studio_paper_known",
            ),
            _within("week_start", 0, 6),
            _within("rest_after", 10, 90),
            _within("rest_minutes", 1, 30),
            _within("growth_limit_percent", 1, 200),
            _within("steady_lessons", 1, 8),
            _within("a4_hz", 415, 446),
            _within("own_link_age", 5, 30),
        ]

    def __str__(self) -> str:
        return self.name


class Allowance(models.Model):
    """How many tries one visitor has left. The key is a keyed hash, so the table names nobody."""

    key = models.CharField(max_length=64, unique=True)
    left = models.FloatField()
    updated = models.DateTimeField(db_index=True)

    class Meta:
        constraints = [
            models.CheckConstraint(condition=Q(left__gte=0), name="allowance_not_negative")
        ]

    def __str__(self) -> str:
        return f"{self.key[:8]}… {self.left:.1f}"


class SignInTicket(models.Model):
    """A sign-in address that works once, for a few minutes. Only the hash of its secret is kept."""

    owner = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE)
    token_hash = models.CharField(max_length=64, unique=True)
    expires = models.DateTimeField()

    def __str__(self) -> str:
        # no words: for programmers
        return f"until {self.expires:%H:%M}"
