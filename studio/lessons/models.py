"""Weekly lesson times, and the dated lessons that come out of them."""

from __future__ import annotations

import datetime as dt
import uuid
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext, pgettext
from django.utils.translation import gettext_lazy as _

from studio.dates.free import Booked, booked
from studio.dates.recurrence import Weekly
from studio.dates.zones import to_utc
from studio.language.days import weekday
from studio.people.models import one_line

if TYPE_CHECKING:
    from studio.access.models import Studio
    from studio.people.models import Student

TOO_MUCH = _("%(show_value)s is too much; at most %(limit_value)s.")
TOO_LITTLE = _("%(show_value)s is too little; at least %(limit_value)s.")
LEAST_MINUTES, MOST_MINUTES = 10, 240


def minutes_field() -> models.PositiveSmallIntegerField[int, int]:
    return models.PositiveSmallIntegerField(
        default=30,
        validators=[
            MinValueValidator(LEAST_MINUTES, _("A lesson has at least %(limit_value)s minutes.")),
            MaxValueValidator(MOST_MINUTES, _("A lesson has at most %(limit_value)s minutes.")),
        ],
    )


class LessonRules(models.Model):
    """The teacher's own rules for changes; asked once, used at every cancellation."""

    class Expiry(models.TextChoices):
        NEVER = "never", _("never")
        WEEKS = "weeks", _("some weeks after the lesson")
        TERM = "term", _("with the term of the lesson")

    studio = models.OneToOneField(
        "studio.Studio", on_delete=models.CASCADE, related_name="lesson_rules"
    )
    notice_hours = models.PositiveSmallIntegerField(
        default=24, validators=[MaxValueValidator(14 * 24, TOO_MUCH)]
    )
    late_is_made_up = models.BooleanField(default=False)
    missed_is_made_up = models.BooleanField(default=False)
    expiry = models.CharField(max_length=5, choices=Expiry.choices, default=Expiry.WEEKS)
    expiry_weeks = models.PositiveSmallIntegerField(
        default=8, validators=[MinValueValidator(1, TOO_LITTLE), MaxValueValidator(104, TOO_MUCH)]
    )
    travel_minutes = models.PositiveSmallIntegerField(
        default=20, validators=[MaxValueValidator(180, TOO_MUCH)]
    )
    day_opens = models.TimeField(default=dt.time(9, 0))
    day_closes = models.TimeField(default=dt.time(20, 0))

    class Meta:
        verbose_name_plural = "lesson rules"  # no words: for programmers
        constraints = [
            models.CheckConstraint(
                condition=Q(day_closes__gt=F("day_opens")),
                name="lessonrules_day_closes_after_it_opens",
                violation_error_message=_("The teaching day ends before it starts."),
            ),
            models.CheckConstraint(
                condition=Q(expiry_weeks__gte=1, expiry_weeks__lte=104),
                name="lessonrules_expiry_weeks",
            ),
        ]

    def __str__(self) -> str:
        return f"rules of {self.studio}"  # no words: for programmers

    @classmethod
    def of(cls, studio: Studio) -> LessonRules:
        """The studio's rules; the defaults until she has chosen."""
        found = cls.objects.filter(studio=studio).first()
        return found if found is not None else cls(studio=studio)

    @property
    def travel(self) -> dt.timedelta:
        return dt.timedelta(minutes=self.travel_minutes)


class BusyTime(models.Model):
    """Time the teacher is not free, taken from a calendar of hers. Instants, not wall times."""

    studio = models.ForeignKey("studio.Studio", on_delete=models.CASCADE, related_name="busy_times")
    what = models.CharField(max_length=120, blank=True)
    starts = models.DateTimeField()
    ends = models.DateTimeField()
    source = models.CharField(
        max_length=120, blank=True, help_text=_("Name of the file it came in.")
    )

    class Meta:
        ordering = ["starts"]
        indexes = [models.Index(fields=["studio", "starts"], name="busy_by_start")]
        constraints = [
            models.CheckConstraint(
                condition=Q(ends__gt=F("starts")), name="busytime_ends_after_start"
            ),
        ]

    def __str__(self) -> str:
        return self.what or gettext("busy")

    def booked(self, zone: ZoneInfo) -> Booked:
        """Elsewhere, but the way there is hers to plan: it needs no travel gap."""
        return Booked(self.starts, self.ends, self.what or gettext("something of your own"))


class Slot(models.Model):
    """A standing lesson time. Two students on one slot are siblings who share the lesson."""

    studio = models.ForeignKey("studio.Studio", on_delete=models.CASCADE, related_name="slots")
    students = models.ManyToManyField("studio.Student", related_name="slots")
    weekday = models.PositiveSmallIntegerField(help_text=_("Monday is 0."))
    every_weeks = models.PositiveSmallIntegerField(default=1)
    starts = models.TimeField()
    minutes = minutes_field()
    place = models.CharField(max_length=80, blank=True, validators=[one_line])
    link = models.URLField(blank=True)
    first_day = models.DateField()
    last_day = models.DateField(null=True, blank=True)

    class Meta:
        ordering = ["weekday", "starts"]
        constraints = [
            models.CheckConstraint(condition=Q(weekday__lte=6), name="slot_weekday"),
            models.CheckConstraint(
                condition=Q(minutes__gte=10, minutes__lte=240), name="slot_minutes"
            ),
            models.CheckConstraint(
                condition=Q(every_weeks__gte=1, every_weeks__lte=4), name="slot_every_weeks"
            ),
            models.CheckConstraint(
                condition=Q(last_day__isnull=True) | Q(last_day__gte=F("first_day")),
                name="slot_ends_after_start",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_weekday_name()} {self.starts:%H:%M}"

    def get_weekday_name(self) -> str:
        return weekday(dt.date(2024, 1, 1 + self.weekday))  # 1 January 2024 was a Monday

    @property
    def weekly(self) -> Weekly:
        return Weekly(self.weekday, self.first_day, self.last_day, self.every_weeks)

    def lesson_on(self, day: dt.date, student: Student) -> Lesson:
        """The lesson of this time on that day, not saved yet."""
        return Lesson(
            student=student,
            slot=self,
            date=day,
            slot_day=day,
            starts=self.starts,
            minutes=self.minutes,
            place=self.place,
            link=self.link,
        )


class LessonQuerySet(models.QuerySet["Lesson"]):
    def of(self, studio: Studio) -> LessonQuerySet:
        return self.filter(student__family__studio=studio)

    def standing(self) -> LessonQuerySet:
        """Lessons that take place or took place, so they hold their time."""
        return self.filter(status__in=[Lesson.Status.PLANNED, Lesson.Status.KEPT])

    def within(self, starts: dt.date, ends: dt.date) -> LessonQuerySet:
        return self.filter(date__gte=starts, date__lte=ends)

    def make_ups_owed(self, studio: Studio, today: dt.date) -> LessonQuerySet:
        """The bank: lost lessons still to be made up, not placed and not expired."""
        in_time = Q(make_up_until=None) | Q(make_up_until__gte=today)
        return self.of(studio).filter(in_time, make_up_owed=True, made_up_by=None)

    def of_absent(self, studio: Studio, today: dt.date) -> LessonQuerySet:
        """Planned lessons to come of students who have paused, or have left by then."""
        coming = self.of(studio).filter(status=Lesson.Status.PLANNED, date__gte=today)
        return coming.filter(
            Q(student__status="paused") | Q(student__status="left", date__gt=F("student__left"))
        )

    def next_for(self, student: Student, after: dt.date) -> Lesson | None:
        """The first planned lesson later than the day."""
        coming = self.filter(student=student, date__gt=after, status=Lesson.Status.PLANNED)
        return coming.order_by("date", "starts").first()


class Lesson(models.Model):
    """One student's lesson on one day: local date and wall time, instants are derived."""

    class Status(models.TextChoices):
        PLANNED = "planned", _("planned")
        KEPT = "kept", _("kept")
        CANCELLED_BY_FAMILY = "cancelled-family", _("cancelled by the family")
        CANCELLED_BY_TEACHER = "cancelled-teacher", _("cancelled by the teacher")
        MISSED = "missed", _("missed")

    student = models.ForeignKey("studio.Student", on_delete=models.CASCADE, related_name="lessons")
    slot = models.ForeignKey(
        Slot, on_delete=models.SET_NULL, null=True, blank=True, related_name="lessons"
    )
    date = models.DateField()
    starts = models.TimeField()
    minutes = minutes_field()
    place = models.CharField(max_length=80, blank=True, validators=[one_line])
    link = models.URLField(blank=True)
    status = models.CharField(max_length=17, choices=Status.choices, default=Status.PLANNED)
    makes_up = models.OneToOneField(
        "self", on_delete=models.SET_NULL, null=True, blank=True, related_name="made_up_by"
    )
    with_notice = models.BooleanField(
        null=True, help_text=_("Cancelled within the teacher's own hours of notice?")
    )
    # Decided when the lesson fell out, so that a later change of rules takes nothing back.
    make_up_owed = models.BooleanField(default=False)
    make_up_until = models.DateField(null=True, blank=True)
    # The day its slot gave it. It stays when the lesson moves, so no second one is made for it.
    slot_day = models.DateField(null=True, blank=True)
    moved_by_hand = models.BooleanField(default=False)
    # Written down only when the studio has since moved to another zone.
    zone = models.CharField(max_length=64, blank=True)
    # The identity a calendar program sees (RFC 5545 UID and SEQUENCE).
    uid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    sequence = models.PositiveIntegerField(default=0)
    changed = models.DateTimeField(auto_now=True)

    objects = LessonQuerySet.as_manager()

    class Meta:
        ordering = ["date", "starts", "pk"]
        indexes = [
            models.Index(fields=["date", "starts"], name="lesson_by_date"),
            models.Index(fields=["status", "date"], name="lesson_by_status"),
            models.Index(fields=["date", "starts"], condition=Q(make_up_owed=True), name="owed_on"),
        ]
        constraints = [
            models.CheckConstraint(
                condition=Q(minutes__gte=10, minutes__lte=240), name="lesson_minutes"
            ),
            models.UniqueConstraint(
                fields=["student", "date", "starts"],
                condition=Q(status__in=["planned", "kept"]),
                name="lesson_student_once_at_a_time",
            ),
            models.UniqueConstraint(
                fields=["student", "slot", "slot_day"], name="lesson_once_a_slot_day"
            ),
            models.CheckConstraint(
                condition=Q(make_up_owed=False)
                | Q(status__in=["cancelled-family", "cancelled-teacher", "missed"]),
                name="lesson_owed_only_when_it_fell_out",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.student} {self.date} {self.starts:%H:%M}"

    def begins(self, zone: ZoneInfo) -> dt.datetime:
        """The instant at which the lesson starts, in UTC; NoSuchTimeError if there is none."""
        return to_utc(self.date, self.starts, ZoneInfo(self.zone) if self.zone else zone)

    def where(self) -> str | None:
        """Where the teacher must be; None when the lesson is on a screen."""
        return None if self.link and not self.place else self.place

    def booked(self, zone: ZoneInfo) -> Booked:
        """The stretch it holds; students of one slot at one time share it."""
        what = pgettext("in a sentence", "{name}’s lesson").format(name=self.student.given_name)
        return booked(self.begins(zone), self.minutes, what, self.where(), self.slot_id)

    @property
    def fell_out(self) -> bool:
        return self.status not in {self.Status.PLANNED, self.Status.KEPT}

    @property
    def term_day(self) -> dt.date:
        """The day that says to which term it belongs, wherever it was moved to."""
        return self.slot_day or self.date
