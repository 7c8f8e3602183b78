"""Families, the grown-ups in them, and the students with their routine."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any, Final

from django.core.validators import MaxValueValidator, RegexValidator
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext, gettext_noop, pgettext_lazy
from django.utils.translation import gettext_lazy as _

from studio import clock
from studio.web.search import holds_all

if TYPE_CHECKING:
    from studio.access.models import Studio

WEEKDAYS: Final = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
MOST_MINUTES_A_DAY: Final = 600

# One line of text: a name with a line break would break sheets, subjects and calendar lines.
one_line = RegexValidator(
    r"[\r\n\x00-\x08\x0b-\x1f]", _("Write it on one line."), inverse_match=True
)


fits_a_day = MaxValueValidator(
    MOST_MINUTES_A_DAY, _("%(show_value)s is too much; at most %(limit_value)s minutes fit a day.")
)


class Family(models.Model):
    """One household; an adult student is a family of one.

    Where children share one violin or one hour, their sessions never overlap; `shared_from` and
    `shared_until` are the part of the day in which they play, None where it is open.
    """

    studio = models.ForeignKey("studio.Studio", on_delete=models.CASCADE, related_name="families")
    name = models.CharField(max_length=120, validators=[one_line])
    notes = models.TextField(blank=True, max_length=4000)
    shares_violin = models.BooleanField(default=False)
    shared_from = models.TimeField(null=True, blank=True)
    shared_until = models.TimeField(null=True, blank=True)
    created = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["name", "pk"]
        verbose_name_plural = _("families")
        constraints = [
            models.CheckConstraint(
                condition=Q(shared_from__isnull=True)
                | Q(shared_until__isnull=True)
                | Q(shared_until__gt=models.F("shared_from")),
                name="family_shared_time_in_order",
                violation_error_message=_("The shared time ends before it begins."),
            ),
        ]

    def __str__(self) -> str:
        return self.name


# How an adult who learns is related to the student; kept in the words of the studio's language.
THE_STUDENT: Final = gettext_noop("the student")


def is_the_student(relation: str) -> bool:
    """Whether the relation says that guardian and student are one."""
    return relation in {THE_STUDENT, gettext(THE_STUDENT)}


class Guardian(models.Model):
    """A grown-up who helps at home and gets the letters."""

    family = models.ForeignKey(Family, on_delete=models.CASCADE, related_name="guardians")
    name = models.CharField(max_length=120, validators=[one_line])
    relation = models.CharField(max_length=60, blank=True, validators=[one_line])
    email = models.EmailField(blank=True)
    phone = models.CharField(max_length=40, blank=True, validators=[one_line])

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return self.name


class StudentQuerySet(models.QuerySet["Student"]):
    """The questions pages ask about students."""

    def of(self, studio: Studio) -> StudentQuerySet:
        return self.filter(family__studio=studio)

    def learning(self) -> StudentQuerySet:
        """Those who come to lessons now."""
        return self.filter(status=Student.Status.LEARNING)

    def named_like(self, words: str) -> StudentQuerySet:
        """Every word must occur in the student's, the family's or a guardian's name.

        Neither case nor accents count, which no database does alike; so the names are read.
        """
        if not words.split():
            return self
        names: dict[int, list[str]] = {}
        for pk, *found in self.order_by().values_list(
            "pk", "given_name", "family_name", "family__name", "family__guardians__name"
        ):
            names.setdefault(pk, []).extend(filter(None, found))
        return self.filter(pk__in=[pk for pk, of in names.items() if holds_all(words, *of)])


def first_session() -> str:
    """What the first session of a day is called until the teacher says otherwise."""
    return gettext("After school")


class Student(models.Model):
    """One person who learns the violin, with the routine of a practice week."""

    class Status(models.TextChoices):
        LEARNING = "learning", _("comes to lessons")
        PAUSED = "paused", _("paused")
        LEFT = "left", pgettext_lazy("a student", "left")

    class SheetStyle(models.TextChoices):
        READER = "reader", _("reads notes")
        PRE_READER = "pre-reader", _("does not read yet: large marks, no staff")

    class Size(models.TextChoices):
        FULL = "4/4", "4/4"
        SEVEN_EIGHTHS = "7/8", "7/8"
        THREE_QUARTERS = "3/4", "3/4"
        HALF = "1/2", "1/2"
        QUARTER = "1/4", "1/4"
        EIGHTH = "1/8", "1/8"
        TENTH = "1/10", "1/10"
        SIXTEENTH = "1/16", "1/16"

    family = models.ForeignKey(Family, on_delete=models.CASCADE, related_name="students")
    given_name = models.CharField(max_length=80, validators=[one_line])
    family_name = models.CharField(max_length=80, blank=True, validators=[one_line])
    birth_date = models.DateField(null=True, blank=True)
    instrument_size = models.CharField(max_length=4, choices=Size.choices, default=Size.FULL)
    sheet_style = models.CharField(
        max_length=10, choices=SheetStyle.choices, default=SheetStyle.READER
    )
    notes = models.TextField(blank=True, max_length=4000)
    status = models.CharField(max_length=8, choices=Status.choices, default=Status.LEARNING)
    started = models.DateField()
    left = models.DateField(null=True, blank=True)

    minutes_mon = models.PositiveSmallIntegerField(default=20, validators=[fits_a_day])
    minutes_tue = models.PositiveSmallIntegerField(default=20, validators=[fits_a_day])
    minutes_wed = models.PositiveSmallIntegerField(default=20, validators=[fits_a_day])
    minutes_thu = models.PositiveSmallIntegerField(default=20, validators=[fits_a_day])
    minutes_fri = models.PositiveSmallIntegerField(default=20, validators=[fits_a_day])
    minutes_sat = models.PositiveSmallIntegerField(default=20, validators=[fits_a_day])
    minutes_sun = models.PositiveSmallIntegerField(default=0, validators=[fits_a_day])
    session_1 = models.CharField(max_length=30, default=first_session, validators=[one_line])
    session_2 = models.CharField(max_length=30, blank=True, validators=[one_line])
    session_3 = models.CharField(max_length=30, blank=True, validators=[one_line])
    session_1_starts = models.TimeField(null=True, blank=True)
    session_2_starts = models.TimeField(null=True, blank=True)
    session_3_starts = models.TimeField(null=True, blank=True)

    objects = StudentQuerySet.as_manager()

    class Meta:
        ordering = ["given_name", "family_name", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(left__isnull=True) | Q(left__gte=models.F("started")),
                name="student_leaves_after_start",
                violation_error_message=_("The day of leaving lies before the first day."),
            ),
            models.CheckConstraint(
                condition=Q(status="left") ^ Q(left__isnull=True),
                name="student_who_left_has_a_day",
            ),
            models.CheckConstraint(
                condition=~Q(session_1="") & (Q(session_3="") | ~Q(session_2="")),
                name="student_sessions_in_order",
                violation_error_message=_("Name the sessions of the day in order."),
            ),
            models.CheckConstraint(
                condition=Q(
                    **{f"minutes_{day}__lte": MOST_MINUTES_A_DAY for day in WEEKDAYS},
                ),
                name="student_minutes_fit_a_day",
            ),
        ]

    def __str__(self) -> str:
        return self.full_name

    def save(self, *args: Any, **kwargs: Any) -> None:
        """Keeps also from when on the violin has its size."""
        first, named = self._state.adding, kwargs.get("update_fields")
        super().save(*args, **kwargs)
        if named is None or "instrument_size" in named:
            self._keep_size(first)

    def _keep_size(self, first: bool) -> None:
        """A new size holds from today, the first one from the first day; a slip put right on the
        same day leaves no trace."""
        latest = list(self.sizes.order_by("-since")[:2])
        if latest and latest[0].size == self.instrument_size:
            return
        day = self.started if first or not latest else clock.today(self.family.studio)
        if latest and latest[0].since >= day:
            day = latest.pop(0).since
            self.sizes.filter(since=day).delete()
        if not latest or latest[0].size != self.instrument_size:
            self.sizes.create(size=self.instrument_size, since=day)

    @property
    def full_name(self) -> str:
        return f"{self.given_name} {self.family_name}".strip()

    @property
    def minutes(self) -> list[int]:
        """Budget in minutes, Monday first."""
        return [getattr(self, f"minutes_{day}") for day in WEEKDAYS]

    @property
    def sessions(self) -> list[tuple[str, dt.time | None]]:
        """Name and usual start of each session of a day, in order."""
        named = (
            (self.session_1, self.session_1_starts),
            (self.session_2, self.session_2_starts),
            (self.session_3, self.session_3_starts),
        )
        return [(name, starts) for name, starts in named if name]

    def pause(self) -> None:
        self.status, self.left = self.Status.PAUSED, None
        self.save(update_fields=["status", "left"])

    def leave(self, day: dt.date) -> None:
        self.status, self.left = self.Status.LEFT, day
        self.save(update_fields=["status", "left"])

    def come_back(self) -> None:
        """From a pause, or after having left; everything she had in hand still is."""
        self.status, self.left = self.Status.LEARNING, None
        self.save(update_fields=["status", "left"])

    def age_on(self, day: dt.date) -> int | None:
        """Whole years on that day; None without a birth date."""
        if self.birth_date is None:
            return None
        had_birthday = (day.month, day.day) >= (self.birth_date.month, self.birth_date.day)
        return day.year - self.birth_date.year - (not had_birthday)


class SizeHeld(models.Model):
    """A size of violin and the day from which a student has it; until the next one."""

    student = models.ForeignKey(Student, on_delete=models.CASCADE, related_name="sizes")
    size = models.CharField(max_length=4, choices=Student.Size.choices)
    since = models.DateField()

    class Meta:
        ordering = ["student", "since"]
        verbose_name_plural = _("sizes held")
        constraints = [
            models.UniqueConstraint(fields=["student", "since"], name="size_held_once_a_day"),
        ]

    def __str__(self) -> str:
        return f"{self.size} from {self.since}"  # no words: for programmers


class InstrumentSizeNote(models.Model):
    """The teacher's own help for choosing a size; the program ships no table as fact."""

    studio = models.ForeignKey("studio.Studio", on_delete=models.CASCADE, related_name="size_notes")
    size = models.CharField(max_length=4, choices=Student.Size.choices)
    fits = models.CharField(max_length=120, validators=[one_line])

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["studio", "size"], name="size_note_once_a_studio"),
        ]

    def __str__(self) -> str:
        return f"{self.size}: {self.fits}"
